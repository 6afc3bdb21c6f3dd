"""The eye: what contrast people need to see a mark, by size, light and age."""

from preview.judge.eye.closed_form import ClosedFormEye, Eye
from preview.judge.eye.observer import visibility
from preview.judge.eye.patches import threshold_contrast

__all__ = ["ClosedFormEye", "Eye", "threshold_contrast", "visibility"]
