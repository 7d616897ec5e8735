using StageView.Light.Grids;
using StageView.Light.Measure;
using StageView.Rig.Pieces;
using StageView.Show.Questions;

namespace StageView.Show.HouseLight;

/// <summary>What front light shall hold, where, and with which fixtures.</summary>
public sealed record HouseLightAsked
{
    /// <summary>Acting positions: areas, focus points, performers, points x,y,z; empty for the rig's own.</summary>
    public IReadOnlyList<string> On { get; init; } = [];

    /// <summary>Fixtures beside those that the venue brings: names, numbers, groups, or names with *.</summary>
    public IReadOnlyList<string> Also { get; init; } = [];

    /// <summary>Least illuminance at every position, lx, 1 to 100 000.</summary>
    public required double Least { get; init; }

    /// <summary>What is measured, as <c>lux</c> has it: an upright plane or half a cylinder that faces the audience, or a plane that faces a camera.</summary>
    public string Measure { get; init; } = "vertical:0,-1";

    /// <summary>Least and most ratio of cylindrical to horizontal illuminance: 0.3-0.6 (EN 12464-1, 4.6.2 in its edition of 2021; from memory).</summary>
    public string Modelling { get; init; } = "0.3-0.6";

    /// <summary>Height of faces over where people stand, m, 0.5 to 2.5.</summary>
    public float Face { get; init; } = 1.5f;

    /// <summary>No camera's lens lies within a beam's field angle and so much more, degrees, 0 to 45.</summary>
    public float CameraDegrees { get; init; } = 2;

    /// <summary>Whether the haze takes nothing on the way.</summary>
    public bool ClearAir { get; init; }

    internal MeterSettings Settings => ClearAir ? MeterSettings.ClearAir : MeterSettings.Default;

    internal (double Low, double High) Range => Lux.ModellingRange();

    /// <exception cref="StopException">It can't be measured on a face.</exception>
    internal Quantity Quantity(RigScene rig) => Lux.Quantity(rig) switch
    {
        { Kind: QuantityKind.Plane } => throw StopException.Wrong($"--measure {Measure}: faces have no plane of their own: write vertical:0,-1 or another"),
        var q => q,
    };

    private LuxAsked Lux => new([], Measure, ClearAir, Least, Modelling, null);
}
