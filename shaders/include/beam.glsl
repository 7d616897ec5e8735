// A beam as the shaders know it: columns as in Layout/BeamRows.cs, filled by Beams/BeamBatch.cs.
#include "layout/beam.glsl"
uniform samplerBuffer beamRows;
uniform samplerBuffer beamEdges;

// What is asked of a beam; in a fragment constant over the beam's hull. TILED: globals, filled for one beam after another by include/beamload.glsl.
#ifdef TILED
#define BEAM_FIELD(io) vec4
#else
#define BEAM_FIELD(io) flat io vec4
#endif
#if defined(SHADOWS) || defined(GOBOS) || defined(WEBS) || defined(FORMED)
#define BEAM_UP(io) BEAM_FIELD(io) beamUpRow;
#else
#define BEAM_UP(io)
#endif
#ifdef GOBOS
#define BEAM_GOBO(io) BEAM_FIELD(io) beamGoboLayerRow; BEAM_FIELD(io) beamGoboOffsetRow;
#else
#define BEAM_GOBO(io)
#endif
#if defined(FORMED) && !defined(GOBOS)
#define BEAM_FORM(io) BEAM_FIELD(io) beamFormRightRow; BEAM_FIELD(io) beamFirstExtraRow; BEAM_FIELD(io) beamGoboOffsetRow;
#elif defined(FORMED)
#define BEAM_FORM(io) BEAM_FIELD(io) beamFormRightRow; BEAM_FIELD(io) beamFirstExtraRow;
#else
#define BEAM_FORM(io)
#endif
#ifdef SHADOWS
#define BEAM_SHADOW(io) BEAM_FIELD(io) beamShadowTileRow; BEAM_FIELD(io) beamShadowDepthOffsetRow; BEAM_FIELD(io) beamFirst; /* x: the beam's first row */
#else
#define BEAM_SHADOW(io)
#endif
#define BEAM_IN(io) \
  BEAM_FIELD(io) beamApexRow; \
  BEAM_FIELD(io) beamAxisRow; \
  BEAM_FIELD(io) beamLightRow; \
  BEAM_FIELD(io) beamCurveRow; \
  BEAM_FIELD(io) beamStartRow; \
  BEAM_FIELD(io) beamEndRow; \
  BEAM_FIELD(io) beamFirstEdgeRow; \
  BEAM_FIELD(io) beamNearSquaredRow; \
  BEAM_UP(io) BEAM_GOBO(io) BEAM_FORM(io) BEAM_SHADOW(io)

// theta^2 from x = 1 - cos theta: 2 sum (2x)^n / (n^2 C(2n,n)), the series of arcsin^2; relative error below 1e-3 at 89 degrees, 1e-6 below 45.
float squareOfAngle(float x) {
  return x * (2.0 + x * (1.0 / 3.0 + x * (4.0 / 45.0 + x * (1.0 / 35.0 + x * (0.01015873 + x * (0.00384800 + x * (0.00152231 + x * 0.00062156)))))));
}

// AngularProfile.At, on theta^2: (exp(-k (theta/b)^p) - g0) / (1 - g0), g0 = .02, k = .67334455 (here times log2 e).
float profileAt(float squaredAngle, float scale, float halfExponent) {
  float f = exp2(-0.971431 * exp2(halfExponent * (log2(max(squaredAngle, 1e-20)) + scale)));
  return halfExponent > 0.0 ? max(0.0, (f - 0.02) * (1.0 / 0.98)) : 1.0;
}
