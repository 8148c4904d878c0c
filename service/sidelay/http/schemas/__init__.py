"""What requests and answers look like, as marshmallow schemas; the OpenAPI document reads them.

The only modules of `http` that know marshmallow.
"""
