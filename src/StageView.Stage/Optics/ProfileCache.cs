using StageView.Ground.Indices;
using StageView.Light.Photometry;
using StageView.Rig.Profiles;

namespace StageView.Stage.Optics;

/// <summary>Angular profiles already worked out, by their exact angles: making one costs an integral, and fixtures share them.</summary>
internal sealed class ProfileCache
{
    private const int Size = 4096;
    private readonly (float Beam, float Field, AngularProfile Profile)[] _known = new (float, float, AngularProfile)[Size];
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
