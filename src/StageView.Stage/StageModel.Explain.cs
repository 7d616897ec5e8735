using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Colour;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Unfolding;
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
            var emitters = Enumerable.Range(0, run.Emitters.Length).Select(e => Report(run, e, t, open.TotalSeconds)).ToArray();
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

    /// <summary>The pixel that an address feeds, or null.</summary>
    public PixelPlace? PixelOf(FixtureIndex fixture, UniverseAddress address, TimeSpan at)
    {
        lock (_gate)
        {
            GoTo(at.TotalSeconds);
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
                        var sum = Vector3.Zero;
                        for (var k = 0; k < block.Order.Length; k++)
                        {
                            sum += ComponentLevel(block, places[(pixel * block.Order.Length) + k]) * code.Components[k];
                        }

                        return new PixelPlace(code.Node.Name, pixel % grid.Columns, pixel / grid.Columns, block.Order[i % block.Order.Length],
                            place - places[i], sum);
                    }
                }
            }

            return null;
        }
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

    private EmitterReport Report(FixtureRun run, int e, double t, double open)
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

        return new EmitterReport(
            code.Node.Name, pose.Position, pose.TransformDirection(-Vector3.UnitZ), intensity, flux,
            Chromaticity.FromXyz(Chromaticity.Rec709ToXyz(colour)),
            state.Count > 0 ? Angles.Degrees(state.BeamAngle) : 0, state.Count,
            gobo, code.Node.Pixels is { } grid ? grid.Columns * grid.Rows : 0)
        {
            BeamDegreesUp = state.Count > 0 ? Angles.Degrees(state.BeamAngleUp) : 0,
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
