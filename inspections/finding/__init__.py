"""What the find box finds. `kinds`: which records, and the line of each; `search`: ranks and near misses;
`place`: whose building comes first. No record is asked for but through `visible_to`."""
