"""`python -m preview` is `fourpot`."""

from preview.cli import main

main()
