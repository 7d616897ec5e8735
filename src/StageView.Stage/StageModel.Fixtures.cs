using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Rig.Profiles;
using StageView.Stage.Optics;
using StageView.Stage.Programs;
using StageView.Stage.State;

namespace StageView.Stage;

public sealed partial class StageModel
{
    private const float FarLimitMetres = 300;
    private static readonly Vector3 BodyAlbedo = new(.035f);
    private readonly Vector3[] _corners = new Vector3[Outline.MaxVertices];

    /// <summary>Poses and emitters at <paramref name="t"/>; what stands still since they were last made is kept.</summary>
    private void Update(FixtureRun run, double t)
    {
        var carrier = run.Fixture.Carrier;
        var carried = carrier is { } by ? _runs[by.Fixture.Value].Version : 0;
        var still = run.CachedAt == t || (run.RestAt <= t && run.RestAt <= run.CachedAt);
        if (still && carried == run.CarrierVersion)
        {
            return;
        }

        run.CachedAt = t;
        run.CarrierVersion = carried;
        run.Version++;
        var root = run.Fixture.Pose;
        if (carrier is { } c)
        {
            root = _runs[c.Fixture.Value].World[c.Geometry].Compose(root);
        }

        var nodes = run.Program.Mode.Geometry;
        for (var i = 0; i < nodes.Count; i++)
        {
            var node = nodes[i];
            var parent = node.Parent < 0 ? root : run.World[node.Parent];
            var mover = run.Program.AxisMovers[i];
            var stands = run.Stands?[i] ?? double.NaN;
            run.World[i] = mover < 0 ? parent.Compose(node.Pose) : Moved(parent, node, double.IsNaN(stands) ? run.Travels[mover].PositionAt(t) : stands);
        }

        for (var e = 0; e < run.Emitters.Length; e++)
        {
            EmitterOptics.Evaluate(run, e, t, _profiles, Rig.GoboImages);
        }
    }

    private static Pose Moved(in Pose parent, GeometryNode node, double value)
    {
        var pose = node.Pose;
        switch (node.Axis!.Motion)
        {
            case AxisMotion.TravelZ:
                return parent.Compose(pose with { Position = pose.Position + new Vector3(0, 0, (float)value) });
            case var turn:
                var (sin, cos) = Math.SinCos(value * Math.PI / 360);
                var q = turn == AxisMotion.TurnZ ? new Quaternion(0, 0, (float)sin, (float)cos) : new Quaternion((float)sin, 0, 0, (float)cos);
                return parent.Compose(pose with { Orientation = pose.Orientation * q });
        }
    }

    private void AddFixture(FixtureRun run, double t, double open)
    {
        var index = run.Fixture.Index;
        foreach (var n in run.Program.Bodies)
        {
            var body = run.Program.Mode.Geometry[n].Body!;
            _builder.Add(new MeshInstance
            {
                Mesh = new MeshIndex(body.Mesh),
                Pose = run.World[n].Compose(body.Offset),
                Scale = body.Size,
                Albedo = BodyAlbedo,
                Kind = SceneryKind.FixtureBody,
                Name = NameIndex.None,
                Fixture = index,
            });
        }

        for (var k = 0; k < run.Program.Mirrors.Length; k++)
        {
            var n = run.Program.Mirrors[k];
            var mirror = run.Program.Mode.Geometry[n].Mirror!;
            var count = Math.Min(mirror.Corners.Length, _corners.Length);
            for (var i = 0; i < count; i++)
            {
                _corners[i] = run.World[n].TransformPoint(mirror.Corners[i]);
            }

            AddMirror(_mirrorNames[index.Value][k], mirror.Surface, _corners.AsSpan(0, count));
        }

        for (var e = 0; e < run.Emitters.Length; e++)
        {
            var intensity = run.Tracks[e].Mean(t, open, DimmerNow(run, e, t));
            AddEmitter(run, e, intensity);
        }
    }

    private void AddEmitter(FixtureRun run, int e, float intensity)
    {
        var code = run.Program.Emitters[e];
        var state = run.Emitters[e];
        if (code.Node.Pixels is { } grid)
        {
            AddSurface(run, e, code, grid, intensity);
        }
        else if (code.Node.Beam is { GlobeRadius: > 0 } globe && state.Count > 0)
        {
            AddGlobe(run, e, globe.GlobeRadius, state.Beams[0], intensity);
        }

        if (intensity <= 0)
        {
            return;
        }

        for (var i = 0; i < state.Count; i++)
        {
            _builder.Add(state.Beams[i] with { FluxLumens = state.Beams[i].FluxLumens * intensity });
        }

        if (code.Node.Laser is { } laser)
        {
            AddLaser(run, e, laser, state, intensity);
        }
    }

    private void AddLaser(FixtureRun run, int e, LaserData laser, EmitterState state, float intensity)
    {
        var pose = run.World[run.Program.Emitters[e].Node.Index];
        var axis = pose.TransformDirection(-Vector3.UnitZ);
        var (watts, lumens) = (laser.PowerWatts * state.LaserShare * intensity, state.LaserLumens * intensity);
        if (state.Scan > 0)
        {
            _builder.Add(new LaserScanner
            {
                Fixture = run.Fixture.Index,
                Emitter = e,
                Scan = state.Scan,
                Origin = pose.Position,
                Axis = axis,
                Up = pose.TransformDirection(Vector3.UnitY),
                PowerWatts = watts,
                FluxLumens = lumens,
                Colour = state.LaserColour,
                ApertureMetres = laser.ApertureMetres,
                DivergenceRadians = laser.DivergenceRadians,
            });
            return;
        }

        _builder.Add(new LaserBeam
        {
            Fixture = run.Fixture.Index,
            Emitter = e,
            Origin = pose.Position,
            Direction = axis,
            Length = FarLimitMetres,
            PowerWatts = watts,
            FluxLumens = lumens,
            Colour = state.LaserColour,
            ApertureMetres = laser.ApertureMetres,
            DivergenceRadians = laser.DivergenceRadians,
        });
    }

    /// <summary>A globe is Lambertian: Φ = πL · 4πr², so L = Φ / 4π²r². Its light in the room is the beam's; the surface is what one sees.</summary>
    private void AddGlobe(FixtureRun run, int e, float radius, in Beam beam, float intensity)
    {
        var luminance = beam.FluxLumens * intensity / (4 * MathF.PI * MathF.PI * radius * radius);
        var pose = run.World[run.Program.Emitters[e].Node.Index];
        var pixels = _builder.AddSurface(new PixelSurface
        {
            Fixture = run.Fixture.Index,
            Emitter = e,
            Shape = PixelShape.Globe,
            Origin = pose.Position,
            EdgeU = pose.TransformDirection(Vector3.UnitX) * (2 * radius),
            EdgeV = pose.TransformDirection(-Vector3.UnitY) * (2 * radius),
            Columns = 1,
            Rows = 1,
            Fill = 1,
        });
        pixels[0] = beam.Colour * luminance;
    }

    private static PixelSurface SurfaceOf(FixtureRun run, int e, PixelGridData grid)
    {
        var pose = run.World[run.Program.Emitters[e].Node.Index];
        var globe = grid.Shape == PixelShape.Globe;
        return new PixelSurface
        {
            Fixture = run.Fixture.Index,
            Emitter = e,
            Shape = grid.Shape,
            Origin = globe ? pose.Position : pose.TransformPoint(new Vector3(grid.Width / 2, grid.Height / 2, 0)),
            EdgeU = pose.TransformDirection(-Vector3.UnitX) * grid.Width,
            EdgeV = pose.TransformDirection(-Vector3.UnitY) * grid.Height,
            Columns = grid.Columns,
            Rows = grid.Rows,
            Fill = grid.Fill,
        };
    }

    private void AddSurface(FixtureRun run, int e, EmitterCode code, PixelGridData grid, float intensity)
    {
        var pixels = _builder.AddSurface(SurfaceOf(run, e, grid));
        if (intensity <= 0)
        {
            return;
        }

        if (code.Block is not { } block)
        {
            pixels.Fill(run.Emitters[e].Surface * (grid.PeakLuminance * intensity));
            return;
        }

        var places = run.PixelBytes[e];
        var components = code.Components.Length;
        var filter = run.Emitters[e].Filter * intensity;
        for (var p = 0; p < pixels.Length; p++)
        {
            var sum = Vector3.Zero;
            for (var k = 0; k < components; k++)
            {
                sum += ComponentLevel(block, places[(p * components) + k]) * code.Components[k];
            }

            pixels[p] = sum * filter;
        }
    }

    private float ComponentLevel(PixelBlock block, int at)
    {
        var bytes = _levels.Bytes;
        return at < 0 ? 0
            : block.BytesPerComponent == 2 && at + 1 < bytes.Length ? ((bytes[at] << 8) | bytes[at + 1]) / 65535f
            : bytes[at] / 255f;
    }

    private static float DimmerNow(FixtureRun run, int e, double t)
    {
        var dimmer = 1f;
        foreach (var c in run.Program.Emitters[e].Channels)
        {
            if (run.FunctionOf(c) is { Op: AttributeOp.Dimmer or AttributeOp.Brightness })
            {
                dimmer *= Math.Max(0, run.ValueAt(c, t));
            }
        }

        return dimmer;
    }
}
