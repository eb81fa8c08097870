"""One reader for each way that prices arrive. A file that cannot be read gives one clear line (``Unreadable``)."""
