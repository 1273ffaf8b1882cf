# Prints, for each line of numbers in the file named, the figures of R and of its
# packages robustbase and diptest, one line for each sample; with a second argument
# only the scales Sn and Qn. wilcox.test leaves zeros out and is exact without ties.
suppressMessages({library(robustbase); library(diptest)})
args <- commandArgs(trailingOnly = TRUE)
for (l in readLines(args[1])) {
  x <- as.numeric(strsplit(l, " ", fixed = TRUE)[[1]])
  n <- length(x)
  if (length(args) > 1) {
    cat(Sn(x), Qn(x), "\n")
    next
  }
  q <- function(type) quantile(x, c(.1, .25, .5, .9), type = type, names = FALSE)
  w <- if (any(x == 0) || anyDuplicated(x) > 0 || n < 6 || n > 60) rep(NA, 3) else {
    t <- wilcox.test(x, conf.int = TRUE, conf.level = .95, exact = TRUE)
    c(t$estimate, t$conf.int)
  }
  out <- c(median(x), mad(x, constant = 1), mad(x), mean(abs(x - median(x))), q(6), q(7), q(8), w, dip(x))
  cat(format(out, digits = 17, trim = TRUE), "\n")
}
data(qDiptab)
points <- qDiptab[, "0.95"]
cat("points", paste(names(points), format(points, digits = 10), sep = "="), "\n")
