"""What wrote the samples needs tools that tests do without."""

collect_ignore = ["samples/make.py"]
