"""One thin file per command."""
