"""The media types of bodies and answers, each name in one place."""

JSON, SVG, CSV = "application/json", "image/svg+xml", "text/csv"
NDJSON = "application/x-ndjson"
# RFC 4180 and RFC 7111: what a table says of itself.
CSV_WITH_HEADER = f"{CSV}; charset=utf-8; header=present"
# Product intent and a quotation of it, in their JSON form. Names of our own making after those of
# the XML forms (from memory): no media type of the JSON forms is registered as far as is known.
XJDF = "application/vnd.cip4-xjdf+json"
PTK = "application/vnd.cip4-ptk+json"
