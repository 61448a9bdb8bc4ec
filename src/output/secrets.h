// SPDX-License-Identifier: MIT
//
// Keeps passwords and signed links out of a file that is handed on to others.
#ifndef SEL_OUTPUT_SECRETS_H
#define SEL_OUTPUT_SECRETS_H

// A copy of `value` in which, of every link ("scheme://..."), the part before "@" of its host and
// what follows "?" are replaced by "...". Free with free; NULL: out of memory.
char *sel_without_secrets(const char *value);

#endif
