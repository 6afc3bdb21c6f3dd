"""The mesh with its areas as material groups, in the open formats."""
