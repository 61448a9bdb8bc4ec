# SPDX-License-Identifier: MIT
#
# usage: awk -f match.awk PATTERN TEXT
# Succeeds when TEXT follows PATTERN line by line. In a pattern {*} is any text, {n} a number, and a
# line {...} any lines or none; everything else is meant as it stands.

# The pattern of one line as a regular expression.
function expression(line,    out, c, i) {
    out = "^"
    for (i = 1; i <= length(line); i++) {
        c = substr(line, i, 1)
        if (substr(line, i, 3) == "{*}") {
            out = out ".*"
            i += 2
        } else if (substr(line, i, 3) == "{n}") {
            out = out "[-+]?[0-9][0-9,]*([.][0-9]+)?(e[-+]?[0-9]+)?"
            i += 2
        } else if (c ~ /[A-Za-z0-9 ]/) {
            out = out c
        } else if (c == "\\" || c == "^") {
            out = out "\\" c
        } else {
            out = out "[" c "]"
        }
    }
    return out "$"
}

FILENAME == ARGV[1] && ARGV[1] != "/dev/null" { pattern[++patterns] = $0; next }
{ text[++texts] = $0 }

# reach[i, j]: the first i pattern lines can stand for the first j lines of text.
END {
    reach[0, 0] = 1
    for (i = 1; i <= patterns; i++) {
        any = pattern[i] == "{...}"
        if (!any) regex = expression(pattern[i])
        for (j = 0; j <= texts; j++) {
            if (any) reach[i, j] = reach[i - 1, j] || (j > 0 && reach[i, j - 1])
            else reach[i, j] = j > 0 && reach[i - 1, j - 1] && text[j] ~ regex
        }
        if (!furthest && !any_reached(i)) furthest = i
    }
    if (reach[patterns + 0, texts + 0]) exit 0
    if (furthest) print "no line fits: " pattern[furthest]
    else print "there is more than the pattern says"
    exit 1
}

function any_reached(i,    j) {
    for (j = 0; j <= texts; j++) if (reach[i, j]) return 1
    return 0
}
