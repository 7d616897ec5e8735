using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Measure;
using StageView.Light.Moments;

namespace StageView.Light.Cautions.Flashes;

/// <summary>What one beam adds to an eye's field for each lumen, while neither it nor anything in the room moves.</summary>
internal sealed class BeamShare
{
    private readonly List<(int Group, Vector3 Seen)> _groups = [];
    private int _lensCell = -1;
    private Vector3 _lens;

    /// <summary>When it was last of use; the owner's count.</summary>
    public int Used { get; set; }

    public static BeamShare Of(LightMeter meter, BeamIndex index, FieldRays rays, FieldGrid grid, in EyeFrame frame, bool haze)
    {
        var share = new BeamShare();
        var moment = meter.Moment;
        var unit = moment[index] with { FluxLumens = 1, Colour = Vector3.One };
        haze &= moment.Haze.ScatteringPerMetre > 0;
        var groups = rays.Groups;
        for (var g = 0; g < groups.Length; g++)
        {
            ref readonly var group = ref groups[g];
            var seen = Vector3.Zero;
            if (haze)
            {
                foreach (ref readonly var leg in rays.LegsOf(group))
                {
                    seen += HazeGlow.Along(moment, unit, leg.From, leg.Direction, leg.Length) * leg.Left;
                }
            }

            if (group.Weight != Vector3.Zero)
            {
                var facing = meter.Facing(unit, index, group.Point, group.Normal, out var towards);
                seen += facing * group.Weight * MathF.Max(0, Vector3.Dot(towards, group.Normal));
            }

            if (seen != Vector3.Zero)
            {
                share._groups.Add((g, seen));
            }
        }

        // The illuminance a lens gives the eye is its luminance times its solid angle; spread over its cell, that is the cell's mean.
        var lux = meter.Facing(unit, index, frame.Eye, Vector3.Zero, out var lens);
        if (lux != Vector3.Zero && grid.CellOf(frame.ToEye(lens)) is >= 0 and var cell)
        {
            (share._lensCell, share._lens) = (cell, lux / grid.SolidAngles[cell]);
        }

        return share;
    }

    /// <summary>Adds the beam as bright as it is.</summary>
    public void AddTo(in Beam beam, Span<Vector3> groups, Span<Vector3> cells)
    {
        var light = beam.FluxLumens * beam.Colour;
        foreach (var (group, seen) in _groups)
        {
            groups[group] += seen * light;
        }

        if (_lensCell >= 0)
        {
            cells[_lensCell] += _lens * light;
        }
    }
}
