// A beam as the shaders know it. Rows are filled by Beams/BeamTable.cs; BEAM_ROWS rows a beam.
const int BEAM_ROWS = 12;
uniform samplerBuffer beamRows;
uniform samplerBuffer beamEdges;

// What is asked of a beam; in a fragment constant over the beam's hull. TILED: globals, filled for one beam after another by tiled/beams.glsl.
#ifdef TILED
#define BEAM_FIELD(io) vec4
#else
#define BEAM_FIELD(io) flat io vec4
#endif
#define BEAM_IN(io) \
  BEAM_FIELD(io) bApex;   /* xyz m; w cos^2 of the cut-off */ \
  BEAM_FIELD(io) bAxis;   /* xyz; w sin^2 of the cut-off */ \
  BEAM_FIELD(io) bLight;  /* rgb cd on the axis; w start distance, m */ \
  BEAM_FIELD(io) bCurve;  /* -log2 of the squared half beam angle, exponent p/2 (0: no curve), tan^2 of the inner cone or 0, web row or -1 */ \
  BEAM_FIELD(io) bStart;  /* half-space where the light begins: n, d */ \
  BEAM_FIELD(io) bEnd;    /* half-space where it ends */ \
  BEAM_FIELD(io) bMore;   /* first edge, edges, omnidirectional, row of the beam */

// theta^2 from x = 1 - cos theta: 2 sum (2x)^n / (n^2 C(2n,n)), the series of arcsin^2; relative error below 1e-3 at 89 degrees, 1e-6 below 45.
float squareOfAngle(float x) {
  return x * (2.0 + x * (1.0 / 3.0 + x * (4.0 / 45.0 + x * (1.0 / 35.0 + x * (0.01015873 + x * (0.00384800 + x * (0.00152231 + x * 0.00062156)))))));
}

// AngularProfile.At, on theta^2: (exp(-k (theta/b)^p) - g0) / (1 - g0), g0 = .02, k = .67334455 (here times log2 e).
float profileAt(float squaredAngle, float scale, float halfExponent) {
  float f = exp2(-0.971431 * exp2(halfExponent * (log2(max(squaredAngle, 1e-20)) + scale)));
  return halfExponent > 0.0 ? max(0.0, (f - 0.02) * (1.0 / 0.98)) : 1.0;
}
