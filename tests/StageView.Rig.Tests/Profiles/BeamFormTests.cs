using StageView.Light.Geometry;
using StageView.Light.Photometry;

namespace StageView.Rig.Tests.Profiles;

/// <summary>Beams of our own profiles that aren't round.</summary>
public sealed class BeamFormTests : IDisposable
{
    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    [Theory]
    [InlineData("\"beamAngle\": [12, 24]", BeamForm.Ellipse, 12, 24, 13.44f)]
    [InlineData("\"beamAngle\": [24, 12], \"fieldAngle\": 30, \"outline\": \"rectangle\"", BeamForm.Rectangle, 24, 12, 30)]
    [InlineData("\"beamAngle\": 20, \"outline\": \"rectangle\"", BeamForm.Rectangle, 20, 20, 22.4f)]
    [InlineData("\"beamAngle\": 20", BeamForm.Round, 20, 0, 22.4f)]
    public void Two_angles_and_an_outline_make_its_form(string keys, BeamForm form, float across, float up, float field)
    {
        Write(keys);
        var beam = _temp.Load(Rig).Fixtures[0].Mode.Geometry[0].Beam!;
        Assert.Equal(form, beam.Form);
        Assert.Equal(across, Angles.Degrees(beam.BeamAngle), 1e-3f);
        Assert.Equal(up, Angles.Degrees(beam.BeamAngleUp), 1e-3f);
        Assert.Equal(field, Angles.Degrees(beam.FieldAngle), 1e-2f);
    }

    [Theory]
    [InlineData("\"beamAngle\": [12, 24], \"outline\": \"round\"", "a round beam has one")]
    [InlineData("\"beamAngle\": [12]", "beamAngle")]
    [InlineData("\"beamAngle\": [24, 12], \"fieldAngle\": 20", "can't be smaller")]
    [InlineData("\"outline\": \"oval\"", "outline")]
    public void What_contradicts_itself_is_refused_by_name(string keys, string says)
    {
        Write(keys);
        Assert.Contains(_temp.Refused(Rig), p => p.ToString()!.Contains(says, StringComparison.Ordinal));
    }

    private const string Rig = "{ \"hangs\": [{ \"name\": \"a\", \"profile\": \"f\" }] }";

    private void Write(string keys) => _temp.Write("f.fixture.jsonc",
        $"{{ \"name\": \"f\", \"geometry\": [{{ \"name\": \"lens\", \"beam\": {{ {keys} }} }}], \"modes\": [{{ \"name\": \"m\", \"channels\": [] }}] }}");
}
