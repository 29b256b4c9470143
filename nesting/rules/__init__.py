"""The rules of cutting: from an order to pieces, and from pieces to outlines on a lay."""
