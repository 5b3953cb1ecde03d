"""Pattern math for crocheted hats: a stateless REST service."""
