"""The media types of answers, each name in one place."""

JSON, SVG, CSV = "application/json", "image/svg+xml", "text/csv"
NDJSON = "application/x-ndjson"
# RFC 4180 and RFC 7111: what a table says of itself.
CSV_WITH_HEADER = f"{CSV}; charset=utf-8; header=present"
