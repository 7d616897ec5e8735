// What stands in beams, seen from their (image) apices: an instance a thing in a beam, each in its beam's tile of the atlas.
layout(location = 0) in vec3 position;
uniform samplerBuffer sourceRows; // by Shadows/ShadowDraws.cs: columns of mesh to tile's clip space; tile's scale and place in the atlas; half-spaces
uniform int first;                // instance of these rows

void main() {
  int at = 7 * (first + gl_InstanceID);
  vec4 p = vec4(position, 1.0);
  vec4 c = mat4(texelFetch(sourceRows, at), texelFetch(sourceRows, at + 1), texelFetch(sourceRows, at + 2), texelFetch(sourceRows, at + 3)) * p;
  vec4 tile = texelFetch(sourceRows, at + 4);
  gl_Position = vec4(c.xy * tile.xy + c.w * tile.zw, c.zw);
  gl_ClipDistance[0] = dot(texelFetch(sourceRows, at + 5), p);
  gl_ClipDistance[1] = dot(texelFetch(sourceRows, at + 6), p);
  // The tile's own sides.
  gl_ClipDistance[2] = c.w + c.x;
  gl_ClipDistance[3] = c.w - c.x;
  gl_ClipDistance[4] = c.w + c.y;
  gl_ClipDistance[5] = c.w - c.y;
}
