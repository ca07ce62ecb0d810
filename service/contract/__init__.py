"""What callers may rely on from one document to the next: which differences break them, by which rule."""
