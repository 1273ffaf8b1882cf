# Draws the points that .ci/measure collects, lines of "rows seconds megabytes",
# our program's in the first file and the script's in the second, on two plots
# with logarithmic axes.
function log10(x) { return log(x) / log(10) }
function x(rows) { return left + (log10(rows) - 3) / 3 * wide }
function y(value, least) { return top + high - (log10(value) - least) / 4 * high }
function text(px, py, anchor, what) {
	printf "<text x=\"%.0f\" y=\"%.0f\" text-anchor=\"%s\">%s</text>\n", px, py, anchor, what
}
function frame(at, title, least,    i) {
	left = at
	text(left, top - 12, "start", title)
	for (i = 0; i <= 4; i++) {
		printf "<path d=\"M%.0f %.0fh%d\" stroke=\"#ccc\"/>\n", left, top + high - i / 4 * high, wide
		text(left - 6, top + high - i / 4 * high + 4, "end", 10 ^ (least + i))
	}
	for (i = 0; i <= 3; i++) {
		printf "<path d=\"M%.0f %.0fv%d\" stroke=\"#ccc\"/>\n", left + i / 3 * wide, top, high
		text(left + i / 3 * wide, top + high + 18, "middle", substr("1,000  10,000 100,0001,000,000", 1 + i * 7, i < 3 ? 7 : 9))
	}
	text(left + wide / 2, top + high + 38, "middle", "rows")
}
function curve(file, column, least, dash,    i, d, px, py, higher) {
	d = ""
	for (i = 1; i <= count[file]; i++) {
		px = x(point[file, i, 1])
		py = y(point[file, i, column], least)
		d = d (i > 1 ? "L" : "M") sprintf("%.1f %.1f", px, py)
		printf "<circle cx=\"%.1f\" cy=\"%.1f\" r=\"3\"/>\n", px, py
	}
	printf "<path d=\"%s\" fill=\"none\" stroke=\"#000\" stroke-width=\"1.5\"%s/>\n", d, dash
	higher = point[file, count[file], column] > point[3 - file, count[3 - file], column]
	text(px + 8, py + (higher ? -2 : 12), "start", file == 1 ? "counterfoil" : "script")
}
FNR == 1 { file++ }
{ count[file]++; for (i = 1; i <= 3; i++) point[file, count[file], i] = $i }
END {
	top = 40; wide = 260; high = 220
	print "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 860 330\" font-family=\"sans-serif\" font-size=\"12\">"
	print "<title>Time and memory by rows, beside the plain script</title>"
	print "<rect width=\"860\" height=\"330\" fill=\"#fff\"/>"
	frame(70, "Seconds", -1); curve(1, 2, -1, ""); curve(2, 2, -1, " stroke-dasharray=\"5 4\"")
	frame(500, "Peak memory, MB", 0); curve(1, 3, 0, ""); curve(2, 3, 0, " stroke-dasharray=\"5 4\"")
	print "</svg>"
}
