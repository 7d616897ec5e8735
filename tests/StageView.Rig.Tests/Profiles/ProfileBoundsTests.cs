namespace StageView.Rig.Tests.Profiles;

/// <summary>Our own profiles may repeat within repeats: they are bounded like any other file.</summary>
public sealed class ProfileBoundsTests : IDisposable
{
    private const string Repeat = "\"repeat\": { \"count\": 1024, \"from\": [0, 0, 0], \"to\": [1, 0, 0] }";
    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    [Fact]
    public void Repeats_of_repeats_stop_at_a_bound()
    {
        var problem = Refused($"{{ \"name\": \"r\", \"parts\": [{{ \"name\": \"a\", {Repeat}, \"parts\": [{{ \"name\": \"b\", {Repeat}, "
            + $"\"parts\": [{{ \"name\": \"c\", {Repeat} }}] }}] }}] }}", "\"channels\": []");
        Assert.Contains("more than 20000 geometries", problem, StringComparison.Ordinal);
    }

    [Fact]
    public void Channels_for_each_of_each_stop_at_a_bound()
    {
        var each = "{ \"forEach\": \"a\", \"channels\": [{ \"forEach\": \"a\", \"channels\": [{ \"forEach\": \"a\", \"channels\": "
            + "[{ \"attribute\": \"Dimmer\" }] }] }] }";
        Write($"{{ \"name\": \"r\", \"parts\": [{{ \"name\": \"a\", {Repeat} }}] }}", $"\"channels\": [{each}]");
        var last = _temp.Refused("{ \"hangs\": [{ \"name\": \"a\", \"profile\": \"f\" }] }")[^1].Text;

        // All but the first thousand are channels that are there already; a thousand million were asked for.
        Assert.InRange(int.Parse(last.Split(' ')[0], System.Globalization.CultureInfo.InvariantCulture), 1000, 200_000);
    }

    [Fact]
    public void Pixels_past_the_last_universe_are_refused()
    {
        var problem = Refused($"{{ \"name\": \"r\", \"parts\": [{{ \"name\": \"a\", {Repeat}, "
            + "\"pixels\": { \"columns\": 4096, \"rows\": 4096, \"size\": [1, 1], \"luminance\": 1 } }] }",
            "\"channels\": [], \"pixels\": [{ \"geometry\": \"a\" }]");
        Assert.Contains("more addresses than there are in all universes", problem, StringComparison.Ordinal);
    }

    private string Refused(string geometry, string mode)
    {
        Write(geometry, mode);
        return Assert.Single(_temp.Refused("{ \"hangs\": [{ \"name\": \"a\", \"profile\": \"f\" }] }")).Text;
    }

    private void Write(string geometry, string mode) =>
        _temp.Write("f.fixture.jsonc", $"{{ \"name\": \"f\", \"geometry\": [{geometry}], \"modes\": [{{ \"name\": \"m\", {mode} }}] }}");
}
