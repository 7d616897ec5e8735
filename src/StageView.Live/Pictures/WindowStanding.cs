using System.Numerics;
using StageView.Render.Contexts;

namespace StageView.Live.Pictures;

/// <summary>Where the window stands and how it looks at the stage: what the next drawing process is told when this one fails.</summary>
internal readonly record struct WindowStanding(WindowPlace Place, OrbitStanding Camera);

/// <summary>All of an <see cref="OrbitCamera"/>: metres, radians, and its field in degrees.</summary>
internal readonly record struct OrbitStanding(Vector3 Target, double Yaw, double Pitch, double Distance, double FieldDegrees, float Ev, bool WorkLight);
