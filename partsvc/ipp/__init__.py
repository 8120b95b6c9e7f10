"""Talking to a label printer in the language that printers share: IPP, RFC 8010 and RFC 8011."""
