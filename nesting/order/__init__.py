"""The order file: what is asked for, read and checked."""
