using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Colour;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Unfolding;
using StageView.Rig.Profiles;
using StageView.Stage.Levels;
using StageView.Stage.Programs;
using StageView.Stage.State;
using StageView.Wire.Universes;

namespace StageView.Stage;

public sealed partial class StageModel
{
    /// <summary>Everything about one fixture at one time.</summary>
    /// <param name="fixture">Index in the rig.</param>
    /// <param name="at">Show time.</param>
    /// <param name="open">Exposure, as for <see cref="MomentAt"/>.</param>
    public FixtureState StateOf(FixtureIndex fixture, TimeSpan at, TimeSpan open = default)
    {
        lock (_gate)
        {
            var t = at.TotalSeconds;
            GoTo(t);
            foreach (var r in _order)
            {
                Update(r, t);
            }

            var run = _runs[fixture.Value];
            var attributes = Enumerable.Range(0, run.Program.Channels.Length).Select(c => Describe(run, c, t)).ToArray();
            var surfaces = SurfacesOf(run, at, open);
            var emitters = Enumerable.Range(0, run.Emitters.Length).Select(e => Report(run, e, t, open.TotalSeconds, surfaces[e])).ToArray();
            return new FixtureState(fixture, run.Fixture.Name, attributes, emitters);
        }
    }

    /// <summary>
    /// Whether levels came for each fixture by the time of the last moment: what it first hears is taken as already reached, so until then it stands where it
    /// was drawn and then is where it is told.
    /// </summary>
    /// <param name="heard">One a fixture, in the rig's order.</param>
    public void Heard(Span<bool> heard)
    {
        lock (_gate)
        {
            for (var i = 0; i < _runs.Length; i++)
            {
                heard[i] = true;
                for (var c = 0; c < _runs[i].Program.Channels.Length && heard[i]; c++)
                {
                    foreach (var b in _runs[i].BytesOf(c))
                    {
                        heard[i] &= b < 0 || _levels.IsHeard(b);
                    }
                }
            }
        }
    }

    /// <summary>The pixel that an address feeds, or null; as bright as it is seen, dimmer, strobe and content included.</summary>
    /// <param name="fixture">Index in the rig.</param>
    /// <param name="address">The address.</param>
    /// <param name="at">Show time.</param>
    /// <param name="open">Exposure, as for <see cref="MomentAt"/>.</param>
    public PixelPlace? PixelOf(FixtureIndex fixture, UniverseAddress address, TimeSpan at, TimeSpan open = default)
    {
        lock (_gate)
        {
            GoTo(at.TotalSeconds);
            foreach (var r in _order)
            {
                Update(r, at.TotalSeconds);
            }

            var run = _runs[fixture.Value];
            var place = _map.LocateAbsolute(address.Absolute);
            for (var e = 0; e < run.PixelBytes.Length && place >= 0; e++)
            {
                var code = run.Program.Emitters[e];
                if (code.Block is not { } block || code.Node.Pixels is not { } grid)
                {
                    continue;
                }

                var places = run.PixelBytes[e];
                for (var i = 0; i < places.Length; i++)
                {
                    if (places[i] >= 0 && place >= places[i] && place < places[i] + block.BytesPerComponent)
                    {
                        var pixel = i / block.Order.Length;
                        return new PixelPlace(code.Node.Name, pixel % grid.Columns, pixel / grid.Columns, block.Order[i % block.Order.Length],
                            place - places[i], _builder.PixelsOf(SurfacesOf(run, at, open)[e])[pixel]);
                    }
                }
            }

            return null;
        }
    }

    /// <summary>What a fixture's patched pixels are sent at a time, in the order of the wire, equal neighbours together.</summary>
    public IReadOnlyList<PixelRun> PixelRunsOf(FixtureIndex fixture, TimeSpan at)
    {
        lock (_gate)
        {
            GoTo(at.TotalSeconds);
            var run = _runs[fixture.Value];
            var found = new List<PixelRun>();
            for (var e = 0; e < run.PixelBytes.Length; e++)
            {
                if (run.Program.Emitters[e] is { Block: { } block, Node.Pixels: { } grid } code)
                {
                    AddRuns(found, code.Node.Name, block, grid, run.PixelBytes[e]);
                }
            }

            return found;
        }
    }

    /// <summary>How a grid of pixels is wired.</summary>
    /// <param name="fixture">Index in the rig.</param>
    /// <param name="emitter">One of its emitters that has pixels.</param>
    public PixelGrid GridOf(FixtureIndex fixture, int emitter)
    {
        var run = _runs[fixture.Value];
        var code = run.Program.Emitters[emitter];
        var grid = code.Node.Pixels!;
        var (places, components) = (run.PixelBytes[emitter], code.Block?.Order.Length ?? 1);
        return new PixelGrid(
            code.Node.Name, code.Node.Index, code.Block?.Path ?? PixelPath.Rows, grid.PeakLuminance,
            [.. Enumerable.Range(0, grid.Columns * grid.Rows).Select(i =>
                places.Length > 0 && places[i * components] is >= 0 and var at && _map.HasAddress(at) ? _map.AddressOf(at) : (UniverseAddress?)null)]);
    }

    /// <summary>Copies the levels heard by a time over those of an encoder of the same rig, place by place; what was not heard is left alone.</summary>
    public void CopyLevels(TimeSpan at, LevelsEncoder levels)
    {
        ArgumentNullException.ThrowIfNull(levels);
        var to = levels.Bytes;
        lock (_gate)
        {
            GoTo(at.TotalSeconds);
            for (var i = 0; i < to.Length; i++)
            {
                to[i] = _levels.IsHeard(i) ? _levels.Bytes[i] : to[i];
            }
        }
    }

    private void AddRuns(List<PixelRun> found, string name, PixelBlock block, PixelGridData grid, int[] places)
    {
        var (components, size) = (block.Order.Length, block.BytesPerComponent);
        PixelRun? open = null;
        for (var n = 0; n < grid.Columns * grid.Rows; n++)
        {
            var (column, row) = block.Path.Wired(n, grid.Columns, grid.Rows);
            var of = places.AsSpan(((row * grid.Columns) + column) * components, components);
            if (of.IndexOf(-1) >= 0 || !_map.HasAddress(of[0]))
            {
                open = null;
                continue;
            }

            var bytes = new int[components * size];
            for (var i = 0; i < bytes.Length; i++)
            {
                bytes[i] = _levels.Bytes[of[i / size] + (i % size)];
            }

            var last = _map.AddressOf(of[^1] + size - 1);
            if (open is not null && open.Bytes.SequenceEqual(bytes))
            {
                found[^1] = open = open with { Count = open.Count + 1, To = last };
                continue;
            }

            open = new PixelRun(name, n, 1, _map.AddressOf(of[0]), last, block.Order, bytes);
            found.Add(open);
        }
    }

    /// <summary>Lays out what a fixture's emitters show, with content, in the builder: the place of each emitter's surface there, or -1.</summary>
    private int[] SurfacesOf(FixtureRun run, TimeSpan at, TimeSpan open)
    {
        var t = at.TotalSeconds;
        var surfaces = new int[run.Emitters.Length];
        _builder.Sample = null;
        _builder.Begin();
        for (var e = 0; e < surfaces.Length; e++)
        {
            surfaces[e] = run.Program.Emitters[e].Node.Pixels is null ? -1 : _builder.Surfaces.Length;
            AddEmitter(run, e, run.Tracks[e].Mean(t, open.TotalSeconds, DimmerNow(run, e, t)));
        }

        foreach (var content in Content)
        {
            content.Fill(_builder, at);
        }

        return surfaces;
    }

    private AttributeState Describe(FixtureRun run, int c, double t)
    {
        var channel = run.Program.Channels[c].Source;
        var f = run.FunctionOf(c);
        var bytes = run.BytesOf(c).ToArray();
        var op = f?.Op ?? AttributeOp.Nothing;
        var whyNot = f?.WhyNot(run.Raw[c], run.Sets[c]);
        var now = f is null ? 0 : run.ValueAt(c, t);
        var arrives = 0.0;
        if (f is { Mover: >= 0 })
        {
            var travel = run.Travels[f.Mover];
            arrives = Math.Max(0, travel.ArrivalSeconds - t);
            if (!f.IsSpeed)
            {
                now = (float)travel.PositionAt(t);
            }
        }

        return new AttributeState
        {
            Channel = channel.Name,
            Geometry = run.Program.Mode.Geometry[channel.Geometry].Name,
            Addresses = [.. bytes.Where(b => b >= 0 && _map.HasAddress(b)).Select(_map.AddressOf)],
            Raw = run.Raw[c],
            Highest = channel.MaxValue,
            IsDefault = bytes.Length == 0 || bytes.Any(b => b < 0 || !_levels.IsHeard(b)),
            Attribute = f?.Source.Attribute ?? "",
            Function = f?.Source.Name ?? "",
            Set = f is not null && run.Sets[c] >= 0 ? f.Sets[run.Sets[c]].Name : "",
            Target = run.Physical[c],
            Now = now,
            Unit = f is null ? "" : SpeedScope.IsSpeed(op) ? SpeedScope.UnitOf(f.Source)
                : AttributeNames.UnitOf(op, f.Source.PhysicalFrom, f.Source.PhysicalTo),
            ArrivesIn = arrives,
            IsSimulated = whyNot is null,
            WhyNot = whyNot ?? "",
            Note = f is null ? "" : ChannelNotes.Of(run, c, f),
            Op = op,
        };
    }

    private EmitterReport Report(FixtureRun run, int e, double t, double open, int surface)
    {
        var code = run.Program.Emitters[e];
        var state = run.Emitters[e];
        var pose = run.World[code.Node.Index];
        var intensity = run.Tracks[e].Mean(t, open, DimmerNow(run, e, t));
        var flux = state.LaserLumens * intensity;
        var colour = state.LaserColour;
        var gobo = "";
        for (var i = 0; i < state.Count; i++)
        {
            var beam = state.Beams[i];
            flux += LeavingOf(beam) * intensity;
            colour = beam.Colour;
            gobo = string.Join(" and ", new[] { beam.Gobo, beam.SecondGobo, beam.ThirdGobo }.Where(g => g.Image > 0)
                .Select(g => Rig.GoboImages[g.Image - 1].Name));
        }

        if (code.Node.Beam is null && code.Lines.Length == 0)
        {
            colour = state.Surface;
        }

        var (mean, brightest) = (Vector3.Zero, 0f);
        if (surface >= 0)
        {
            var pixels = _builder.PixelsOf(surface);
            foreach (var p in pixels)
            {
                mean += p / pixels.Length;
                brightest = MathF.Max(brightest, Chromaticity.Luminance(p));
            }

            // Lambert: a flat face of area A sends πLA, a ball of radius r πL·4πr².
            var s = _builder.Surfaces[surface];
            var area = s.Shape == PixelShape.Globe ? MathF.PI * s.EdgeU.LengthSquared() : Vector3.Cross(s.EdgeU, s.EdgeV).Length() * s.Fill * s.Fill;
            flux += MathF.PI * Chromaticity.Luminance(mean) * area;
            colour = state.Count == 0 && mean != Vector3.Zero ? mean : colour;
        }

        return new EmitterReport(
            code.Node.Name, pose.Position, pose.TransformDirection(-Vector3.UnitZ), intensity, flux,
            Chromaticity.FromXyz(Chromaticity.Rec709ToXyz(colour)),
            state.Count > 0 ? Angles.Degrees(state.BeamAngle) : 0, state.Count,
            gobo, code.Node.Pixels is { } grid ? grid.Columns * grid.Rows : 0)
        {
            BeamDegreesUp = state.Count > 0 ? Angles.Degrees(state.BeamAngleUp) : 0,
            PixelLuminance = Chromaticity.Luminance(mean),
            BrightestPixel = brightest,
            StrobeHertz = run.Tracks[e].Latest is { Kind: not StrobeKind.Steady } strobe ? strobe.Hertz : 0,
            IntensityNow = run.Tracks[e].Mean(t, 0, DimmerNow(run, e, t)),
        };
    }

    /// <summary>Flux that gobos (each taken as even) and blades leave of a beam, lm.</summary>
    private float LeavingOf(in Beam beam)
    {
        var flux = beam.FluxLumens;
        foreach (var more in (ReadOnlySpan<GoboState>)[beam.Gobo, beam.SecondGobo, beam.ThirdGobo])
        {
            flux *= more.Image > 0 ? Rig.GoboImages[more.Image - 1].Transmission : 1;
        }

        if (beam.Blades.Count == 0)
        {
            return flux;
        }

        var webs = new MomentBuilder { Webs = Rig.Webs }.Build(TimeSpan.Zero);
        var open = beam with { Gobo = default, SecondGobo = default, ThirdGobo = default, Blades = default };
        return flux * (float)(BeamFlux.Passing(webs, open with { Blades = beam.Blades }) / Math.Max(1e-9, BeamFlux.Passing(webs, open)));
    }
}
