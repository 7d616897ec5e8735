using StageView.Light.Geometry;
using StageView.Light.Photometry;

namespace StageView.Light.Tests.Photometry;

public sealed class AngularProfileTests
{
    // Whatever the zoom, iris or frost, the profile holds the stated lumens: ∫ I dΩ by 20,000 midpoints equals the flux.
    [Theory]
    [InlineData(2, 3)]
    [InlineData(5, 9)]
    [InlineData(10, 10.3)]
    [InlineData(25, 60)]
    [InlineData(60, 110)]
    public void The_stated_lumens_are_conserved(float beam, float field)
    {
        var p = AngularProfile.FromBeamAndField(Angles.Radians(beam), Angles.Radians(field));
        double sum = 0;
        const int n = 20000;
        for (var i = 0; i < n; i++)
        {
            var theta = (i + 0.5) * p.CutoffRadians / n;
            sum += p.At((float)theta) * Math.Sin(theta);
        }

        Rooms.Near(1, sum * Math.Tau * p.CutoffRadians / n * p.CandelaPerLumen, 2e-4);
        Assert.Equal(1, p.At(0), 1e-6);
        Assert.Equal(0.5, p.At(Angles.Radians(beam / 2)), 1e-3);
        Assert.Equal(0.1, p.At(Angles.Radians(field / 2)), 1e-3);
        Assert.Equal(0, p.At(p.CutoffRadians));
    }

    // Solid angle of a cone, 2π(1 - cos α): 5° half angle .0239094 sr, 10° .0954557 sr (IES Lighting Handbook, zonal constants).
    [Theory]
    [InlineData(5, 0.0239094)]
    [InlineData(10, 0.0954557)]
    public void Cone_solid_angles(double half, double sr) => Assert.Equal(sr, WebIntegration.ZonalConstant(0, half), 5e-7);
}
