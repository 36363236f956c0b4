"""From plans to what people read: text, JSON, CSV, drawings."""
