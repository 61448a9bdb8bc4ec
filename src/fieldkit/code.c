// SPDX-License-Identifier: MIT
//
// One path of dark squares on a white ground: runs of each row, so that it prints crisp at any
// scale. Level M restores some 15 % of a symbol that got dirty; the quiet zone is the four modules
// that ISO/IEC 18004 asks for on every side (both from memory).
#include "fieldkit/code.h"

#include <qrencode.h>
#include <string.h>

#include "fieldkit/markup.h"

enum { QUIET_MODULES = 4, TEXT_MOST = 106 };

bool sel_code_fits(const char *text) {
    size_t length = strlen(text);
    for (size_t i = 0; i < length; i++)
        if (text[i] < ' ' || text[i] > '~')
            return false;
    return length >= 1 && length <= TEXT_MOST;
}

static bool is_dark(const QRcode *code, int row, int column) {
    return column < code->width && (code->data[row * code->width + column] & 1) != 0;
}

static void add_row(const QRcode *code, int row, struct sel_text *html) {
    int begin = 0;
    for (int column = 0; column <= code->width; column++) {
        bool dark = is_dark(code, row, column);
        bool before = column > 0 && is_dark(code, row, column - 1);
        if (dark && !before)
            begin = column;
        if (!dark && before)
            sel_text_addf(html, "M%d %dh%dv1h-%dz", begin + QUIET_MODULES, row + QUIET_MODULES,
                column - begin, column - begin);
    }
}

void sel_code_draw(const char *text, double module_mm, struct sel_text *html) {
    QRcode *code = QRcode_encodeString(text, 0, QR_ECLEVEL_M, QR_MODE_8, 1);
    if (!code) { // the text fits, so memory ran out
        html->failed = true;
        return;
    }
    int side = code->width + 2 * QUIET_MODULES;
    sel_markup_wrap(html, "<svg role=\"img\" aria-label=\"", text, "\"");
    sel_text_addf(html,
        " viewBox=\"0 0 %d %d\" style=\"width:%.2fmm;height:%.2fmm\" "
        "shape-rendering=\"crispEdges\"><path fill=\"#fff\" d=\"M0 0h%dv%dh-%dz\"/><path "
        "fill=\"#000\" d=\"",
        side, side, side * module_mm, side * module_mm, side, side, side);
    for (int row = 0; row < code->width; row++)
        add_row(code, row, html);
    sel_text_add(html, "\"/></svg>\n");
    QRcode_free(code);
}
