"""`sidelay plant`: what is done to plant files at a desk, without a service.

`command` runs one of check, new, diff, stocks and keep. Prices are worked out by the service's own
modules, through `http/answering.py`.
"""
