"""Each kind of fact told: its words, what is listed of it, and its tables in the record, in one description."""
