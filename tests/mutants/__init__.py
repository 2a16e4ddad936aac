"""`make mutants`: break the code in small ways, one at a time, and see whether a test notices."""
