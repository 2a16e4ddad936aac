"""As-installed revisions checked and approved: by whom, in which capacity, and what was withdrawn again."""
