"""The faults: as rows, as a ranking, with what speaks for and against them, and what is advised."""
