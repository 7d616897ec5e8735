using StageView.Rig.Patching;
using StageView.Wire.Universes;

namespace StageView.Rig.Tests;

/// <summary>Which fixtures an address belongs to, at the edges.</summary>
public sealed class PatchLookupTests : IDisposable
{
    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    private static string[] At(PatchLookup patch, string address)
    {
        Assert.True(UniverseAddress.TryParse(address, out var a));
        return [.. patch.At(a).Select(f => f.Name)];
    }

    [Fact]
    public void The_first_and_the_last_address_belong_to_it_and_their_neighbours_do_not()
    {
        // The front profile has 4 addresses.
        var patch = new PatchLookup(_temp.Load("""
            { "hangs": [
              { "name": "a", "profile": "front-profile", "patch": "2.10" },
              { "name": "b", "profile": "front-profile", "patch": "2.509" },
              { "name": "c", "profile": "front-profile", "patch": "1.1" },
              { "name": "none", "profile": "front-profile" } ] }
            """));
        Assert.Equal([[], ["a"], ["a"], []], new[] { "2.9", "2.10", "2.13", "2.14" }.Select(a => At(patch, a)));
        Assert.Equal([[], ["b"], ["b"], []], new[] { "2.508", "2.509", "2.512", "3.1" }.Select(a => At(patch, a)));
        Assert.Equal([["c"], [], []], new[] { "1.1", "1.5", "63999.512" }.Select(a => At(patch, a)));
        Assert.Equal([1, 2], patch.Universes);
        Assert.Equal([4, 512, 0], new[] { 1, 2, 3 }.Select(patch.Highest));
        Assert.Equal(["a", "b"], patch.In(2).Select(f => f.Name));
        Assert.Empty(patch.In(0));
    }

    [Fact]
    public void Each_break_has_its_own_addresses()
    {
        _temp.Write("two.fixture.jsonc", """
            { "name": "Two breaks", "geometry": [{ "name": "body", "beam": { "flux": 1000, "beamAngle": 19 } }], "modes": [{ "name": "m", "channels": [
              { "attribute": "Dimmer", "geometry": "body", "break": 1, "offsets": [1] },
              { "attribute": "Shutter1", "geometry": "body", "break": 2, "offsets": [3] } ] }] }
            """);
        var patch = new PatchLookup(_temp.Load("""{ "hangs": [ { "name": "a", "profile": "two", "patch": ["1.7", "4.100"] } ] }"""));
        Assert.Equal([["a"], []], new[] { "1.7", "1.8" }.Select(a => At(patch, a)));

        // The gap before the break's only channel is the fixture's too.
        Assert.Equal([[], ["a"], ["a"], []], new[] { "4.99", "4.100", "4.102", "4.103" }.Select(a => At(patch, a)));
        Assert.Equal([1, 4], patch.Universes);
    }

    [Fact]
    public void A_shared_patch_has_all_its_fixtures_in_the_rigs_order()
    {
        var patch = new PatchLookup(_temp.Load("""
            { "hangs": [
              { "name": "a", "profile": "front-profile", "patch": "1.1" },
              { "name": "b", "profile": "front-profile", "sharesPatchOf": "a" } ] }
            """));
        Assert.Equal(["a", "b"], At(patch, "1.4"));
        Assert.Equal(2, patch.In(1).Count);
    }

    [Theory]
    [InlineData("1.411", "1.512", "", "2.1 2.18", "2.19")]
    [InlineData("1.412", "1.510", "1.511 1.512", "2.1 2.21", "2.22")]
    public void A_run_of_pixels_goes_on_in_the_next_universe_without_what_it_leaves_free(string start, string lastHere, string free, string there,
        string beyond)
    {
        // Forty pixels of three bytes each, none split over a universe's end: from 411 on 34 fit and fill it; from 412 on 33 fit, and two addresses stay free.
        _temp.Write("run.fixture.jsonc", """
            { "name": "Run", "geometry": [{ "name": "face", "pixels": { "columns": 1, "rows": 40, "size": [0.04, 2], "luminance": 1500 } }],
              "modes": [{ "name": "m", "channels": [], "pixels": [{ "geometry": "face", "order": "RGB", "splitPixels": false }] }] }
            """);
        var patch = new PatchLookup(_temp.Load($$"""{ "hangs": [ { "name": "a", "profile": "run", "patch": "{{start}}" } ] }"""));
        Assert.All(new[] { start, lastHere }.Concat(there.Split(' ')), a => Assert.Equal(["a"], At(patch, a)));
        Assert.All(free.Split(' ', StringSplitOptions.RemoveEmptyEntries).Append(beyond), a => Assert.Empty(At(patch, a)));
        Assert.Equal([1, 2], patch.Universes);
        Assert.Equal(["a"], patch.In(2).Select(f => f.Name));
    }

    [Fact]
    public void An_address_may_be_written_by_its_universe_or_counted_through()
    {
        var rig = _temp.Load("""{ "hangs": [ { "name": "a", "profile": "front-profile", "patch": "3.1" } ] }""");
        Assert.Equal(1024, rig.Fixtures[0].Patch[0].Start.Absolute);
        var patch = new PatchLookup(rig);
        Assert.Equal([[], ["a"], ["a"], []],
            new[] { 1023, 1024, 1027, 1028 }.Select(a => patch.At(UniverseAddress.FromAbsolute(a)).Select(f => f.Name).ToArray()));
    }
}
