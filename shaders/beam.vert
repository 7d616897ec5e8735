// Hull of a beam: corners made on the CPU (Beams/BeamHulls.cs).
#include "include/view.glsl"
#include "include/beam.glsl"
#include "layout/corner.glsl"
layout(location = 0) in vec4 cornerPlaceRow;
BEAM_IN(out)
#include "include/beamload.glsl"

void main() {
  loadBeam(int(cornerBeam));
  gl_Position = viewProjection * vec4(cornerPlace, 1.0);
}
