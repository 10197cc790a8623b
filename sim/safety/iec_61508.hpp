#pragma once

/// Formulas of IEC 61508-6:2010, annex B.3 (formulas
/// from memory: IEC 61508-6:2010, B.3: check against the standard; two-digit rows of its tables
/// agree), as a cross-check beside the simplified method of ISO 13849-1.
namespace ovenproof::safety {

/// Two equal channels, or one.
struct Channels {
  double dangerous_per_h = 0.0;  ///< rate of dangerous failures of a channel
  double coverage = 0.0;         ///< share of it that diagnostics detect, 0..1
  double proof_test_h = 0.0;     ///< interval of proof tests
  double repair_h = 8.0;         ///< mean time to restoration, and mean repair time
  double beta = 0.02;            ///< share of undetected failures with a common cause
  double beta_detected = 0.01;   ///< the same of the detected ones
};

/// tCE, mean down time of a channel, is (lDU/lD)(T1/2 + MRT) + (lDD/lD) MTTR; tGE, of both, the
/// same with T1/3. 1oo1: average frequency of dangerous failure, lDU, 1/h.
double pfh_1oo1_per_h(const Channels& channels);
/// 1oo2: 2 q (1 - beta) lDU tCE + beta lDU, with q = (1 - betaD) lDD + (1 - beta) lDU, 1/h.
double pfh_1oo2_per_h(const Channels& channels);

/// 1oo1: average probability of failure on demand, lD tCE.
double pfd_1oo1(const Channels& channels);
/// 1oo2: 2 q^2 tCE tGE + betaD lDD MTTR + beta lDU (T1/2 + MRT).
double pfd_1oo2(const Channels& channels);

}  // namespace ovenproof::safety
