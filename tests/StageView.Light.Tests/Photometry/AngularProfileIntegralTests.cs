using StageView.Light.Geometry;
using StageView.Light.Photometry;

namespace StageView.Light.Tests.Photometry;

public sealed class AngularProfileIntegralTests
{
    /// <summary>
    /// The closed form against Simpson's extended rule with 40,000 panels (Abramowitz and Stegun, 25.4.6; from memory), from hard spots to wide washes.
    /// </summary>
    [Theory]
    [InlineData(1, 1.02)]
    [InlineData(3, 3.3)]
    [InlineData(12, 13.4)]
    [InlineData(25, 28)]
    [InlineData(10, 18.2)]
    [InlineData(20, 60)]
    [InlineData(60, 100)]
    [InlineData(120, 150)]
    [InlineData(150, 160)]
    public void One_lumen_integrates_to_one(float beamDegrees, float fieldDegrees)
    {
        var profile = AngularProfile.FromBeamAndField(Angles.Radians(beamDegrees), Angles.Radians(fieldDegrees));
        const int n = 40_000;
        double h = profile.CutoffRadians / (double)n, sum = 0;
        for (var i = 0; i <= n; i++)
        {
            var theta = i * h;
            var f = Math.Max(0, (Math.Exp(-AngularProfile.Knee * Math.Pow(theta / profile.HalfBeamRadians, profile.Exponent)) - AngularProfile.Floor)
                / (1 - AngularProfile.Floor));
            sum += (i == 0 || i == n ? 1 : (i & 1) == 1 ? 4 : 2) * f * Math.Sin(theta);
        }

        Assert.Equal(1, profile.CandelaPerLumen * 2 * Math.PI * sum * h / 3, 2e-5);
    }
}
