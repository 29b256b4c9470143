"""The local web page: the whole job done by looking."""
