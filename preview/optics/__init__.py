"""Colour arithmetic: spectra, appearance, difference. Knows nothing of paint or meshes."""
