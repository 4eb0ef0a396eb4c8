// Package calibrate finds figures from past jobs: how a factor that was assumed is to be changed by what jobs really
// took, and how sure that is. It holds pure functions of ratios (actual over estimated) and knows neither price lists
// nor money.
//
// The estimator is the conjugate one of a normal mean with unknown variance (Hoff, A First Course in Bayesian
// Statistical Methods, 5.3; Gelman and others, Bayesian Data Analysis, 3.3). What was assumed counts as so many past jobs.
// With n ratios y of weight w (scaled so that they add up to n), their weighted mean m, an assumed centre c that counts as k
// jobs and an assumed spread s of single jobs:
//
//	centre   = (k c + n m) / (k + n)
//	variance = (k s^2 + sum of w (y - m)^2 + k n / (k + n) (m - c)^2) / (k + n)
//
// and the centre is known to within Student's t of k + n degrees of freedom times the root of variance / (k + n). The
// spread of single jobs counts as k jobs too, as the centre does.
package calibrate
