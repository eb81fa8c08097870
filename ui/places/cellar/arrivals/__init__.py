"""Files of suppliers as they arrive: read, looked at, taken; and what suppliers owe."""
