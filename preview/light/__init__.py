"""Painted light: where shadow and highlight go, baked per face and cached."""
