"""Mesh arithmetic that several stages need: weld, neighbours, rays."""
