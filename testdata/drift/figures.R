# Figures of seeded samples as R works them out, to check ours against.
# Run from this folder, with R 4.2.2 and nothing but its base:
#   Rscript figures.R
# It writes samples.csv (a row a sample) and figures.csv (a row a figure).
set.seed(20251125)
full <- function(x) trimws(formatC(x, digits = 17, format = "g"))

s <- list(
  normal40 = rnorm(40, 0.4, 1.3),
  tenths200 = round(rexp(200, 1 / 3), 1),              # skewed, many ties
  small_a = rnorm(7, 1), small_b = rnorm(9),
  tied_a = c(3, 4, 4, 5, 6, 6, 7, 9), tied_b = c(1, 2, 2, 3, 4, 4, 4, 5, 5, 6, 6),
  big_a = rnorm(300, 0.3), big_b = rnorm(260),
  coarse_a = round(rnorm(60, 0.5)), coarse_b = round(rnorm(45)),
  time20 = sort(runif(20)), rise20 = rnorm(20) + 1:20 / 12,
  time80 = sort(round(runif(80, 0, 60))), fall80 = round(rnorm(80) - 1:80 / 50, 1)
)
writeLines(c(
  "# Seeded samples of figures.R (R 4.2.2): Rscript figures.R",
  vapply(names(s), function(n) paste(c(n, full(s[[n]])), collapse = ","), "")
), "samples.csv")

out <- character()
put <- function(figure, ...) out <<- c(out, paste(c(figure, full(c(...))), collapse = ","))

for (n in names(s)) {
  x <- s[[n]]
  put(paste0("mean sd,", n), mean(x), sd(x))
  put(paste0("five,", n), quantile(x, c(0, .25, .5, .75, 1), type = 7))
  put(paste0("lag1,", n), acf(x, 1, plot = FALSE)$acf[2])
}
put("quantile,tenths200", 0.1, quantile(s$tenths200, 0.1, type = 7))
put("quantile,normal40", 0.9, quantile(s$normal40, 0.9, type = 7))

for (kn in list(c(0, 7), c(1, 9), c(5, 10), c(34, 40), c(20, 20), c(913, 1000), c(1, 250000))) {
  for (level in c(0.9, 0.95, 0.99)) {
    k <- kn[1]; n <- kn[2]
    put("wilson", k, n, level, suppressWarnings(prop.test(k, n, conf.level = level, correct = FALSE))$conf.int)
    put("clopper pearson", k, n, level, binom.test(k, n, conf.level = level)$conf.int)
    put("at least", k, n, level, binom.test(k, n, alternative = "greater", conf.level = level)$conf.int[1])
  }
  put("by chance", kn, 0.5, pbinom(kn[1] - 1, kn[2], 0.5, lower.tail = FALSE))
}

for (w in list(c(-3, 3), c(-2, 5), c(-Inf, 2), c(-1, Inf))) {
  x <- s$normal40; n <- 40; m <- mean(x); d <- sd(x)
  cp <- (w[2] - w[1]) / (6 * d)
  cpk <- min((w[2] - m) / (3 * d), (m - w[1]) / (3 * d))
  put("cpk,normal40", w, cpk, cpk + c(-1, 1) * qnorm(0.975) * sqrt(1 / (9 * n) + cpk^2 / (2 * (n - 1))))
  if (is.finite(cp)) put("cp,normal40", w, cp, cp * sqrt(qchisq(c(0.025, 0.975), n - 1) / (n - 1)))
}

kendall <- function(x, y, exact) {
  k <- suppressWarnings(cor.test(x, y, method = "kendall", exact = exact, continuity = TRUE))
  c(k$estimate, if (exact) NA else abs(k$statistic) * sign(k$estimate), k$p.value)
}
put("kendall exact,time20,rise20", kendall(s$time20, s$rise20, TRUE))
put("kendall exact,small_a,small_a", kendall(s$small_a, s$small_a, TRUE))
helsel <- read.csv("theil_sen_mk.csv", comment.char = "#")
put("kendall exact,helsel,helsel", kendall(helsel$x, helsel$y, TRUE))
mavro <- read.csv("nist_strd_mavro.csv", comment.char = "#")$x
put("kendall normal,mavro,mavro", kendall(seq_along(mavro), mavro, FALSE))
put("kendall normal,time80,fall80", kendall(s$time80, s$fall80, FALSE))
put("kendall normal,big_b,big_b", kendall(s$big_b, rev(s$big_b), FALSE))

slopes <- function(x, y) {
  dx <- outer(x, x, "-"); dy <- outer(y, y, "-")
  sort((dy / dx)[lower.tri(dx) & dx != 0])
}
for (p in list(c("time20", "rise20"), c("time80", "fall80"))) {
  x <- s[[p[1]]]; y <- s[[p[2]]]
  all <- slopes(x, y)
  k <- cor.test(x, y, method = "kendall", exact = FALSE, continuity = FALSE)
  S <- sum(sign(outer(x, x, "-") * outer(y, y, "-"))) / 2
  half <- qnorm(0.975) * abs(S / k$statistic)          # S over z is S's sigma
  low <- floor((length(all) - half) / 2)
  b <- median(all)
  put(paste0("theil sen,", p[1], ",", p[2]), b, all[low], all[length(all) + 1 - low], median(y) - b * median(x), length(all))
}
put("rising,rise20", isoreg(s$rise20)$yf)
put("falling,fall80", -isoreg(-s$fall80)$yf)

ranks <- function(a, b, exact) {
  w <- suppressWarnings(wilcox.test(a, b, exact = exact, correct = TRUE))
  c(w$statistic, w$p.value)
}
put("ranks exact,small_a,small_b", ranks(s$small_a, s$small_b, TRUE))
put("ranks normal,big_a,big_b", ranks(s$big_a, s$big_b, FALSE))
put("ranks normal,coarse_a,coarse_b", ranks(s$coarse_a, s$coarse_b, FALSE))
# with ties R has no exact test: deal the ranks out in every way
r <- rank(c(s$tied_a, s$tied_b)); na <- length(s$tied_a); seen <- sum(r[1:na])
sums <- combn(r, na, sum); middle <- na * mean(r)
put("ranks exact,tied_a,tied_b", seen - na * (na + 1) / 2, mean(abs(sums - middle) >= abs(seen - middle) - 1e-9))

w <- wilcox.test(s$small_a, s$small_b, exact = TRUE, conf.int = TRUE)
put("shift exact,small_a,small_b", w$estimate, w$conf.int)
for (p in list(c("big_a", "big_b"), c("coarse_a", "coarse_b"))) {
  a <- s[[p[1]]]; b <- s[[p[2]]]; m <- length(a); n <- length(b)
  d <- sort(outer(a, b, "-")); t <- table(c(a, b)); N <- m + n
  low <- floor(m * n / 2 - qnorm(0.975) * sqrt(m * n / 12 * (N + 1 - sum(t^3 - t) / (N * (N - 1)))))
  put(paste0("shift normal,", p[1], ",", p[2]), median(d), d[low], d[length(d) + 1 - low])
}

ps <- c(0.01, 0.04, 0.03, 0.005, 0.04, 0.5, 0.9)
put("holm", ps, p.adjust(ps, "holm"))

# A run of 6 or more on one side of the median of 25, among 12 points: every
# order of above and below, each weighed by how likely the 12 points have so
# many above.
above <- as.matrix(expand.grid(rep(list(0:1), 12)))
longest <- apply(above, 1, function(x) max(rle(x)$lengths))
h <- rowSums(above)
put("one side", 25, 12, 6, sum((beta(13 + h, 13 + 12 - h) / beta(13, 13))[longest >= 6]))
put("one side", 25, 12, 9, sum((beta(13 + h, 13 + 12 - h) / beta(13, 13))[longest >= 9]))
put("one side", 51, 12, 7, sum((beta(26 + h, 26 + 12 - h) / beta(26, 26))[longest >= 7]))

# The most that neighbours may resemble each other, when some levels were taken
# out, and what is left of a p-value then.
for (n in c("normal40", "tenths200", "time80", "fall80", "small_b", "big_a")) for (k in c(1, 4)) {
  x <- s[[n]]; r <- acf(x, 1, plot = FALSE)$acf[2]
  r <- max(-1, min(1, r + (1 + 3 * r) * k / length(x)))
  put(paste0("resemblance,", n), k, max(0, min(0.99, r + qnorm(0.975) * sqrt((1 - r^2) / length(x)))))
}
for (p in c(0.9, 0.05, 1e-4, 1e-30)) for (r in c(0.1, 0.5, 0.95)) {
  put("echoing", p, r, 2 * pnorm(qnorm(p / 2) * sqrt((1 - r) / (1 + r))))
  put("echoing signs", p, r, 2 * pnorm(qnorm(p / 2) / sqrt(1 + 4 / pi * sum(asin(r^(1:1000))))))
}

writeLines(c("# Figures of the samples in samples.csv as R 4.2.2 works them out: Rscript figures.R", out), "figures.csv")
