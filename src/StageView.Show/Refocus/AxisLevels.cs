using StageView.Rig.Pieces;
using StageView.Show.Questions;
using StageView.Stage;
using StageView.Stage.Levels;
using StageView.Stage.Programs;
using StageView.Wire.Universes;

namespace StageView.Show.Refocus;

/// <summary>Values of a fixture's axes and optics as the DMX levels that a console would send.</summary>
internal sealed class AxisLevels(RigScene rig)
{
    private readonly LevelsEncoder _levels = new(rig);

    /// <summary>The channels of attributes at values; those that the fixture can't be set to are left out.</summary>
    public IReadOnlyList<AimChannel> Of(Fixture fixture, params ReadOnlySpan<(string Attribute, float Value)> values)
    {
        var answer = new List<AimChannel>();
        foreach (var (attribute, value) in values)
        {
            if (!_levels.TrySet(fixture, attribute, value, out _))
            {
                continue;
            }

            foreach (var channel in fixture.Mode.Channels.Where(c => c.Offsets.Count > 0 && c.Functions.Any(f => f.Attribute == attribute)))
            {
                var start = fixture.Patch.FirstOrDefault(p => p.Break == channel.Break);
                var addresses = start.Break == 0 ? [] : channel.Offsets.Select(o => UniverseAddress.FromAbsolute(start.Start.Absolute + o - 1));
                answer.Add(new AimChannel(attribute, string.Join('/', addresses), _levels.RawOf(fixture, channel), channel.MaxValue));
            }
        }

        return answer;
    }

    /// <summary>Whether a fixture can be set so.</summary>
    public bool Can(Fixture fixture, string attribute, float value) => _levels.TrySet(fixture, attribute, value, out _);

    /// <summary>Pan and tilt as the fixture's channels can have them, degrees.</summary>
    public (float Pan, float Tilt) Snapped(Fixture fixture, float pan, float tilt)
    {
        if (!_levels.TrySet(fixture, "Pan", pan, out _) | !_levels.TrySet(fixture, "Tilt", tilt, out _))
        {
            return (pan, tilt);
        }

        var stage = new StageModel(rig);
        _levels.SendTo(stage, TimeSpan.Zero);
        return MirrorTurn.Held(stage, fixture, TimeSpan.Zero);
    }

    /// <summary>What a fixture calls an attribute on a geometry, and its range; null where it has none such.</summary>
    public static (string Attribute, float From, float To)? Range(Fixture fixture, AttributeOp op, int geometry = -1)
    {
        foreach (var channel in fixture.Mode.Channels.OrderBy(c => c.Geometry == geometry ? 0 : 1))
        {
            foreach (var f in channel.Functions)
            {
                if (AttributeNames.Read(f.Attribute, out _) == op)
                {
                    return (f.Attribute, Math.Min(f.PhysicalFrom, f.PhysicalTo), Math.Max(f.PhysicalFrom, f.PhysicalTo));
                }
            }
        }

        return null;
    }
}
