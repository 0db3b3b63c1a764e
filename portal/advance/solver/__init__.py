"""The engine in processes of its own: each can be stopped when it overruns, its memory has a limit, and whoever asks
holds no transaction meanwhile.
"""
