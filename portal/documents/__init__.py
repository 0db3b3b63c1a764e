"""Plan -> paper. Builders are pure; one file knows the PDF renderer, and it runs in a process of its own."""

from portal.documents import calendar, input_list, pack_list
from portal.documents.labels import label_document, label_test
from portal.documents.patch import patch_sheet
from portal.documents.stage import stage_plot

__all__ = ["calendar", "input_list", "label_document", "label_test", "pack_list", "patch_sheet", "stage_plot"]
