"""What every screen stands on: access, errors, forms, addresses, live news, rate limits and figures. It knows no
family of screens.
"""
