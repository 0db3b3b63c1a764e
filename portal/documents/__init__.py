"""Plan -> paper. Builders are pure; one file knows the PDF renderer, and it runs in a process of its own."""

from portal.documents import input_list, label_test, labels, pack_list, patch_sheet

__all__ = ["input_list", "label_test", "labels", "pack_list", "patch_sheet"]
