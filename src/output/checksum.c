// SPDX-License-Identifier: MIT
//
// SHA-256 (FIPS 180-4) through libcrypto's EVP interface.
#include "output/checksum.h"

#include <errno.h>
#include <openssl/evp.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { BLOCK = 1 << 20, DIGEST_BYTES = 32 };

static sel_status digest_stream(sel_context *context, const char *path, FILE *stream,
    unsigned char *block, EVP_MD_CTX *digest) {
    size_t got;
    while ((got = fread(block, 1, BLOCK, stream)) > 0) {
        sel_status status = sel_check_cancel(context);
        if (status != SEL_OK)
            return status;
        if (EVP_DigestUpdate(digest, block, got) != 1)
            return sel_fail(context, SEL_IO, "%s: its checksum cannot be computed", path);
    }
    if (ferror(stream))
        return sel_fail(context, SEL_IO, "%s: reading failed: %s", path, strerror(errno));
    return SEL_OK;
}

static void write_hex(const unsigned char bytes[DIGEST_BYTES], char digest[SEL_SHA256_SIZE]) {
    for (int i = 0; i < DIGEST_BYTES; i++)
        snprintf(digest + 2 * i, 3, "%02x", bytes[i]);
}

sel_status sel_sha256_file(sel_context *context, const char *path, char digest[SEL_SHA256_SIZE]) {
    unsigned char bytes[DIGEST_BYTES];
    sel_status status = SEL_OK;
    FILE *stream = fopen(path, "rb");
    if (!stream)
        return sel_fail(context, SEL_IO, "%s: cannot be read: %s", path, strerror(errno));
    unsigned char *block = malloc(BLOCK);
    EVP_MD_CTX *digesting = EVP_MD_CTX_new();
    if (!block || !digesting || EVP_DigestInit_ex(digesting, EVP_sha256(), NULL) != 1)
        status = sel_fail_memory(context);
    if (status == SEL_OK)
        status = digest_stream(context, path, stream, block, digesting);
    if (status == SEL_OK && EVP_DigestFinal_ex(digesting, bytes, NULL) != 1)
        status = sel_fail(context, SEL_IO, "%s: its checksum cannot be computed", path);
    if (status == SEL_OK)
        write_hex(bytes, digest);
    EVP_MD_CTX_free(digesting);
    free(block);
    fclose(stream);
    return status;
}
