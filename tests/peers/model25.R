# The budget of tests/bench_25.c in R: nanoseconds a draw, best of seven runs.
draws <- 131072
set.seed(1)
t <- function(a, m, b) {
  u <- runif(draws)
  k <- (m - a) / (b - a)
  ifelse(u < k, a + (b - a) * sqrt(u * k), b - (b - a) * sqrt((1 - u) * (1 - k)))
}
p <- function(a, m, b) a + (b - a) * rbeta(draws, 1 + 4 * (m - a) / (b - a), 1 + 4 * (b - m) / (b - a))
u <- function(a, b) runif(draws, a, b)
n <- function(m, s) rnorm(draws, m, s)
ln <- function(m, g) rlnorm(draws, log(m), log(g))
shortfall <- function() {
  demand <- 0.4 * p(2, 4, 7) * t(1.5, 2.5, 4) + 0.3 * p(1, 2, 3.5) * t(3, 4, 6) +
    0.2 * p(1.5, 3, 5) * t(2, 3, 4.5) + 0.1 * p(0.5, 1.2, 2) * t(4, 6, 9)
  soil <- 1e6 * 0.058 * u(0.02, 0.05) * p(0.005, 0.01, 0.02) * n(1.3, 0.1) * u(0.12, 0.18)
  compost <- t(1.5, 2, 2.8) * p(0.4, 0.55, 0.7) * ln(15, 1.3) * p(0.05, 0.1, 0.25)
  mulch <- p(0.3, 0.6, 1.2) * ln(12, 1.4) * u(0, 0.3)
  legume <- p(0.1, 0.25, 0.5) * n(30, 3) * p(0.3, 0.6, 0.9) * u(0.05, 0.3)
  demand - (soil + compost + mulch + legume + 1e-3 * t(100, 200, 350) * ln(3, 1.6))
}
cpu <- function() sum(proc.time()[1:2])
best <- best_q <- Inf
for (run in 1:7) {
  start <- cpu()
  for (k in 1:4) y <- shortfall() # the clock of R has steps of a millisecond
  middle <- cpu()
  for (k in 1:4) q <- c(mean(y), sd(y), quantile(y, c(0.05, 0.25, 0.5, 0.75, 0.95)))
  best <- min(best, (middle - start) / 4)
  best_q <- min(best_q, (cpu() - middle) / 4)
}
cat(sprintf("%-34s %8.1f  %7.3f %6.3f %7.3f %6.3f\n",
            paste0("R ", getRversion(), ", Mersenne Twister"), 1e9 * best / draws,
            q[1], q[2], q[3], q[7]))
cat(sprintf("%-34s %8.1f\n", "R, mean, sd and 5 quantiles", 1e9 * best_q / draws))
