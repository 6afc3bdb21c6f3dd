"""Mesh files in, named areas in millimetres out."""
