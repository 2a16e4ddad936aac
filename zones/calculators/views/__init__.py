"""The hand calculators of an engineer without a record at hand, one file for each."""
