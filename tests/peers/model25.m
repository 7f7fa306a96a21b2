% The budget of tests/bench_25.c in Octave: nanoseconds a draw, best of seven runs.
1;
function x = tri (a, m, b, n)
  u = rand (n, 1);
  k = (m - a) / (b - a);
  low = u < k;
  x = b - (b - a) * sqrt ((1 - u) * (1 - k));
  x(low) = a + (b - a) * sqrt (u(low) * k);
end
function x = pert (a, m, b, n)
  g = randg (1 + 4 * (m - a) / (b - a), n, 1);
  h = randg (1 + 4 * (b - m) / (b - a), n, 1);
  x = a + (b - a) * g ./ (g + h);
end
function x = uni (a, b, n)
  x = a + (b - a) * rand (n, 1);
end
function x = nor (m, s, n)
  x = m + s * randn (n, 1);
end
function x = lgn (m, g, n)
  x = exp (log (m) + log (g) * randn (n, 1));
end
function y = shortfall (n)
  demand = 0.4 * pert (2, 4, 7, n) .* tri (1.5, 2.5, 4, n) + 0.3 * pert (1, 2, 3.5, n) .* tri (3, 4, 6, n) ...
    + 0.2 * pert (1.5, 3, 5, n) .* tri (2, 3, 4.5, n) + 0.1 * pert (0.5, 1.2, 2, n) .* tri (4, 6, 9, n);
  soil = 1e6 * 0.058 * uni (0.02, 0.05, n) .* pert (0.005, 0.01, 0.02, n) .* nor (1.3, 0.1, n) .* uni (0.12, 0.18, n);
  compost = tri (1.5, 2, 2.8, n) .* pert (0.4, 0.55, 0.7, n) .* lgn (15, 1.3, n) .* pert (0.05, 0.1, 0.25, n);
  mulch = pert (0.3, 0.6, 1.2, n) .* lgn (12, 1.4, n) .* uni (0, 0.3, n);
  legume = pert (0.1, 0.25, 0.5, n) .* nor (30, 3, n) .* pert (0.3, 0.6, 0.9, n) .* uni (0.05, 0.3, n);
  y = demand - (soil + compost + mulch + legume + 1e-3 * tri (100, 200, 350, n) .* lgn (3, 1.6, n));
end
n = 131072;
rand ("seed", 1); randn ("seed", 1);
best = best_q = Inf;
for run = 1:7
  start = cputime ();
  y = shortfall (n);
  middle = cputime ();
  s = sort (y);
  q = interp1 (s, 1 + (n - 1) * [0.05, 0.25, 0.5, 0.75, 0.95]);
  m = [mean(y), std(y)];
  best = min (best, middle - start);
  best_q = min (best_q, cputime () - middle);
end
printf ("%-34s %8.1f  %7.3f %6.3f %7.3f %6.3f\n", ["Octave " version()], 1e9 * best / n, m, q(1), q(5));
printf ("%-34s %8.1f\n", "Octave, mean, sd and 5 quantiles", 1e9 * best_q / n);
