"""HTTP: reading, answering, documenting. With ``application.py`` the only importer of the framework."""
