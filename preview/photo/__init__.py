"""Colours measured in a photograph with a grey card or a 24-patch chart in it."""
