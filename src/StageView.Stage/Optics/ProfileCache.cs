using StageView.Ground.Indices;
using StageView.Ground.Numbers;
using StageView.Light.Photometry;
using StageView.Rig.Profiles;

namespace StageView.Stage.Optics;

/// <summary>Angular profiles already worked out, by their exact angles: making one costs an integral, and fixtures share them.</summary>
internal sealed class ProfileCache
{
    private const int Size = 4096;
    private readonly (float Beam, float Field, AngularProfile Profile)[] _known = new (float, float, AngularProfile)[Size];
    private readonly (BeamForm Form, float Beam, float Up, float Field, AngularProfile Profile)[] _formed =
        new (BeamForm, float, float, float, AngularProfile)[Size / 4];
    private readonly AngularProfile[] _webs;

    public ProfileCache(IReadOnlyList<PhotometricWeb> webs) => _webs = [.. webs.Select((w, i) => OfWeb(w, new WebIndex(i)))];

    /// <summary>The profile with these full angles, rad.</summary>
    public AngularProfile Get(float beam, float field)
    {
        var h = (BitConverter.SingleToUInt32Bits(beam) * 2654435761u) ^ (BitConverter.SingleToUInt32Bits(field) * 2246822519u);
        ref var slot = ref _known[(h >> 16) & (Size - 1)];
        if (slot.Beam != beam || slot.Field != field)
        {
            slot = (beam, field, AngularProfile.FromBeamAndField(beam, field));
        }

        return slot.Profile;
    }

    /// <summary>The profile of a beam that may not be round.</summary>
    /// <param name="shape">What it looks like across, and the tangent of its half beam angle along +Y by that along +X.</param>
    /// <param name="beam">Full beam angle along +X, rad.</param>
    /// <param name="field">Full field angle along +X, rad.</param>
    public AngularProfile Get((BeamForm Form, float Up) shape, float beam, float field)
    {
        if (shape.Form == BeamForm.Round)
        {
            return Get(beam, field);
        }

        var h = (BitConverter.SingleToUInt32Bits(beam) * 2654435761u) ^ (BitConverter.SingleToUInt32Bits(field) * 2246822519u)
            ^ (BitConverter.SingleToUInt32Bits(shape.Up) * 3266489917u);
        ref var slot = ref _formed[(h >> 16) & ((Size / 4) - 1)];
        if (slot.Form != shape.Form || slot.Beam != beam || slot.Up != shape.Up || slot.Field != field)
        {
            var up = 2 * Trig.Atan(Trig.Tan(beam / 2) * shape.Up);
            slot = (shape.Form, beam, shape.Up, field, AngularProfile.FromTwoAngles(shape.Form, new(beam, up), field / beam));
        }

        return slot.Profile;
    }

    public AngularProfile Web(int index) => _webs[index];

    public bool HasWeb(BeamData beam) => beam.Web >= 0 && beam.Web < _webs.Length;

    /// <summary>Beam and field angle as the widest polar angles that still reach 50 % and 10 % of the largest intensity.</summary>
    private static AngularProfile OfWeb(PhotometricWeb web, WebIndex index)
    {
        var polar = web.PolarRadians.Length;
        var cutoff = 0f;
        for (var i = 0; i < web.Relative.Length; i++)
        {
            cutoff = web.Relative[i] > 0 ? Math.Max(cutoff, web.PolarRadians[Math.Min(polar - 1, (i % polar) + 1)]) : cutoff;
        }

        var perLumen = web.Lumens > 0 ? web.PeakCandela / web.Lumens : 0;
        return AngularProfile.FromWeb(
            index, Math.Max(cutoff, 1e-3f), perLumen, Math.Max(WebAngles.WidestAt(web, .5f), 1e-3f), Math.Max(WebAngles.WidestAt(web, .1f), 1e-3f));
    }
}
