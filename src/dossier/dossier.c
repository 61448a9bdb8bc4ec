// SPDX-License-Identifier: MIT
//
// Puts the page together: one HTML file with its style, its scripts, its pictures and its data in
// it. A content security policy in its head lets exactly these run and nothing else be fetched, so
// that no text of a plan or a layer can do anything but be read.
#include "dossier/dossier.h"

#include <openssl/evp.h>

#include "base/files.h"
#include "dossier/embedded.h"
#include "dossier/html.h"
#include "dossier/parts.h"

// --- head ---

// 'sha256-...' of a text, as a content security policy names it.
static void add_source_hash(struct sel_text *html, const char *chars, size_t length) {
    unsigned char digest[EVP_MAX_MD_SIZE];
    unsigned size = 0;
    struct sel_text uri;
    static const char BEFORE[] = "data:x;base64,";
    sel_text_init(&uri);
    if (EVP_Digest(chars, length, digest, &size, EVP_sha256(), NULL) != 1)
        html->failed = true;
    sel_html_data_uri(&uri, "x", digest, size);
    sel_text_addf(html, " 'sha256-%s'", uri.chars ? uri.chars + sizeof BEFORE - 1 : "");
    html->failed = html->failed || uri.failed;
    sel_text_clear(&uri);
}

// The scripts in the order in which they run.
enum { SCRIPTS = 3 };

static const char *script(int i, size_t *length) {
    const char *const scripts[SCRIPTS] = {
        sel_dossier_map_script, sel_dossier_choice_script, sel_dossier_weights_script};
    const size_t lengths[SCRIPTS] = {sel_dossier_map_script_length,
        sel_dossier_choice_script_length, sel_dossier_weights_script_length};
    *length = lengths[i];
    return scripts[i];
}

static void add_policy(struct sel_text *html) {
    sel_text_add(html, "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; "
                       "img-src data:; style-src");
    add_source_hash(html, sel_dossier_style, sel_dossier_style_length);
    sel_text_add(html, "; script-src");
    for (int i = 0; i < SCRIPTS; i++) {
        size_t length;
        const char *chars = script(i, &length);
        add_source_hash(html, chars, length);
    }
    sel_text_add(html, "; base-uri 'none'; form-action 'none'\">\n");
}

static void add_head(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    const char *title = sel_package_fact(dossier->package, "title");
    sel_text_add(html, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
    add_policy(html);
    sel_text_add(html, "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                       "<title>");
    sel_html_text_within(html, title && title[0] ? title : "Ranked sites", 120);
    sel_text_add(html, ": trap sites</title>\n<style>");
    sel_text_add_bytes(html, sel_dossier_style, sel_dossier_style_length);
    sel_text_add(html, "</style>\n</head>\n<body>\n");
}

static void add_scripts(struct sel_text *html) {
    for (int i = 0; i < SCRIPTS; i++) {
        size_t length;
        const char *chars = script(i, &length);
        sel_text_add(html, "<script>");
        sel_text_add_bytes(html, chars, length);
        sel_text_add(html, "</script>\n");
    }
}

// --- body ---

static sel_status add_map_sheet(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    sel_text_add(html, "<section class=\"sheet\" id=\"map\" aria-labelledby=\"map-head\">\n"
                       "<h2 id=\"map-head\">Where the sites lie</h2>\n<div class=\"map-frame\">\n");
    sel_status status = sel_dossier_add_map(dossier);
    sel_text_add(html, "</div>\n<div class=\"under-map\">\n<div>\n");
    sel_dossier_add_map_legend(dossier);
    sel_text_add(html, "</div>\n");
    sel_dossier_add_locator(dossier);
    sel_text_add(html, "</div>\n</section>\n");
    return status;
}

static sel_status add_sheets(struct sel_dossier *dossier) {
    const struct sel_package *package = dossier->package;
    sel_status status = SEL_OK;
    for (size_t i = 0; i < package->site_count && status == SEL_OK; i++) {
        sel_progress(package->context, "drawing", (double)i / (double)package->site_count);
        status = sel_check_cancel(package->context);
        if (status == SEL_OK && sel_is_primary(&package->sites[i]))
            status = sel_dossier_add_sheet(dossier, &package->sites[i]);
    }
    return status;
}

static sel_status add_body(struct sel_dossier *dossier) {
    struct sel_text *html = dossier->html;
    sel_dossier_add_patterns(dossier);
    sel_text_add(html, "<main>\n");
    sel_dossier_add_front(dossier);
    sel_status status = add_map_sheet(dossier);
    if (status == SEL_OK)
        status = sel_check_cancel(dossier->package->context);
    if (status == SEL_OK)
        status = sel_dossier_add_weights(dossier);
    sel_dossier_add_site_list(dossier);
    sel_dossier_add_rejected(dossier);
    if (status == SEL_OK)
        status = sel_dossier_add_parcels(dossier);
    if (status == SEL_OK)
        status = add_sheets(dossier);
    sel_dossier_add_method(dossier);
    sel_dossier_add_sources(dossier);
    sel_text_add(html, "</main>\n");
    return status;
}

static sel_status write_page(struct sel_package *package, struct sel_text *html) {
    struct sel_dossier dossier;
    sel_status status = sel_dossier_read(package, html, &dossier);
    if (status == SEL_OK) {
        add_head(&dossier);
        status = add_body(&dossier);
        add_scripts(html);
        sel_text_add(html, "</body>\n</html>\n");
    }
    sel_dossier_clear(&dossier);
    if (status == SEL_OK && html->failed)
        status = sel_fail_memory(package->context);
    return status;
}

sel_status sel_dossier_write(
    sel_context *context, const char *geopackage, const char *path, bool overwrite) {
    sel_status status = sel_check_ending(context, path, ".html", "the dossier is an HTML page");
    if (status == SEL_OK)
        status = sel_check_output(context, path, overwrite);
    if (status != SEL_OK)
        return status;
    struct sel_package package;
    struct sel_text html;
    sel_text_init(&html);
    status = sel_package_open(context, geopackage, &package);
    if (status == SEL_OK)
        status = write_page(&package, &html);
    if (status == SEL_OK)
        status = sel_check_cancel(context);
    if (status == SEL_OK)
        status = sel_write_file(context, path, html.chars, html.length, overwrite);
    sel_text_clear(&html);
    sel_package_close(&package);
    return status;
}
