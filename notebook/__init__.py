"""A voice-and-photo field notebook for mechanics: sound and pictures in, a searchable log out."""

__version__ = "0.1.0"
