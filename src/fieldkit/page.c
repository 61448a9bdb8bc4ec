// SPDX-License-Identifier: MIT
//
// Ink on paper: black text, one green for headings and rules, one red for what can hurt. The policy
// in the head forbids scripts and everything from outside, should a name try.
#include "fieldkit/page.h"

#include "fieldkit/cautions.h"
#include "fieldkit/markup.h"

static const char SHARED_STYLE[] =
    "@page{size:A4;margin:12mm}"
    "*{box-sizing:border-box}"
    "html{font:10pt/1.4 'Liberation Sans','DejaVu Sans',Arial,Helvetica,sans-serif;color:#1c1f1d;"
    "-webkit-print-color-adjust:exact;print-color-adjust:exact}"
    "body{margin:0 auto;max-width:186mm;overflow-wrap:break-word}"
    "bdi,.soft{overflow-wrap:anywhere}" // may be of any length, without a blank
    "@media screen{body{padding:8mm 0}}"
    "h1{font-size:17pt;line-height:1.2;margin:0 0 1mm;font-weight:600}"
    "h2{font-size:11.5pt;margin:6mm 0 2mm;padding-bottom:.6mm;border-bottom:.35mm solid #2f5d46;"
    "color:#2f5d46;break-after:avoid}"
    "p{margin:0 0 2mm}"
    ".soft{color:#5b625d}"
    ".id{white-space:nowrap}"
    ".mono{font-variant-numeric:tabular-nums}span.mono{white-space:nowrap}"
    "table{border-collapse:collapse;width:100%}"
    "th{text-align:left;font-weight:600;color:#5b625d;font-size:8.5pt}"
    "th,td{padding:1mm 2mm 1mm 0;vertical-align:top;border-bottom:.15mm solid #cfd5d1}"
    "table+p{margin-top:1.5mm}"
    "tr{break-inside:avoid}"
    ".num{text-align:right;font-variant-numeric:tabular-nums;white-space:nowrap}"
    ".caution{border:.35mm solid #9c2f2a;border-radius:1mm;padding:2mm 3mm;margin:5mm .5mm 0 0;"
    "break-inside:avoid;font-size:9pt}"
    ".caution h2{color:#9c2f2a;border:0;margin:0 0 1mm;padding:0}"
    ".caution ul{margin:0;padding-left:5mm}"
    ".tiny{font-size:7pt;line-height:1.25;color:#5b625d}"
    ".warn{border-left:1mm solid #b8860b;padding:1mm 0 1mm 3mm;margin:0 0 2mm}";

void sel_page_begin(struct sel_text *html, const char *what, const char *title, const char *style) {
    sel_text_add(html,
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
        "style-src 'unsafe-inline'\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    sel_text_addf(html, "<title>%s", what);
    sel_markup_wrap(html, ": ", title, "</title>\n<style>");
    sel_text_add(html, SHARED_STYLE);
    sel_text_add(html, style);
    sel_text_add(html, "</style>\n</head>\n<body>\n");
}

void sel_page_end(struct sel_text *html) {
    sel_text_add(html, "</body>\n</html>\n");
}

void sel_page_cautions(struct sel_text *html) {
    sel_text_add(html, "<section class=\"caution\"><h2>Cautions</h2><ul>\n");
    for (size_t i = 0; SEL_CAUTIONS[i]; i++)
        sel_markup_wrap(html, "<li>", SEL_CAUTIONS[i], "</li>\n");
    sel_text_add(html, "</ul></section>\n");
}
