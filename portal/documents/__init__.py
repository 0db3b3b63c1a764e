"""Plan -> paper. Builders are pure; one file knows the PDF renderer, and it runs in a process of its own."""

from portal.documents import calendar, input_list, label_test, labels, pack_list, patch_sheet, stage_plot

__all__ = ["calendar", "input_list", "label_test", "labels", "pack_list", "patch_sheet", "stage_plot"]
