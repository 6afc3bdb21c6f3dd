"""What a command was given becomes the request whose fields bear the same names."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any, Self


@dataclass(frozen=True, kw_only=True)
class Given:
    """Base of requests, so that each option is named in its command and in one field only."""

    @classmethod
    def of(cls, options: Mapping[str, Any], **more: Any) -> Self:
        """The request of a command's options, `more` first; what has no field is left aside.

        Parameters
        ----------
        options : name -> value, such as the command's `locals()`.
        """
        known = {field.name for field in fields(cls)}
        return cls(**{name: v for name, v in {**options, **more}.items() if name in known})
