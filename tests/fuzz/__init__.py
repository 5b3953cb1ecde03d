"""Long searches for input that breaks the service: ``make fuzz`` runs them."""
