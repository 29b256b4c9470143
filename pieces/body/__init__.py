"""Body measurements and the tables that fill what the tape did not measure."""
