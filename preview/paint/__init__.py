"""Light level to ramp step, per face and per sample; then the viewing lamp."""
