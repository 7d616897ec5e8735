using System.Numerics;
using StageView.Rig.Pieces;
using StageView.Show.Cautions;
using StageView.Show.Rigs;

namespace StageView.Show.Tests.Cautions;

public sealed class WatchPlacesTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private RigScene Rig(string volumes) => RigFiles.Open(_folder.File("test.rig.jsonc", $$"""
        {
          "name": "test", "profiles": ["{{Repo.File("assets", "fixtures").Replace('\\', '/')}}"],
          "hangs": [
            { "name": "a", "profile": "front-profile", "number": 1, "at": [-2, 4, 6], "aim": [0, 2, 1], "patch": "1.1" },
            { "name": "b", "profile": "front-profile", "number": 2, "at": [0, 5, 6], "aim": [0, 2, 1], "patch": "1.11" },
            { "name": "c", "profile": "front-profile", "number": 3, "at": [9, -20, 7], "aim": [0, 2, 1], "patch": "1.21" }
          ],
          "volumes": [{{volumes}}]
        }
        """));

    [Fact]
    public void An_audience_without_seats_looks_from_its_front_and_middle()
    {
        var places = WatchPlaces.Of(Rig("""{ "name": "floor", "kind": "audience", "at": [0, -8, 0], "size": [10, 6, 2.2], "rotate": [0, 0, 0] }"""));
        Assert.Equal(["floor, front middle", "floor, middle", "floor, front left", "floor, front right"], places.Select(p => p.Name));
        // The volume's floor lies at -1.1 m; the middle of the fixtures at (0, 4, 6).
        Vector3[] eyes = [new(0, -5, 0), new(0, -8, 0), new(-5, -5, 0), new(5, -5, 0)];
        for (var i = 0; i < 4; i++)
        {
            Assert.True(Vector3.Distance(eyes[i], places[i].Eye) < 1e-4f, $"{places[i]}");
            Assert.True(Vector3.Distance(new(0, 4, 6), places[i].LookAt) < 1e-4f, $"{places[i]}");
        }
    }

    [Fact]
    public void Eyes_are_at_seat_height_above_a_tall_volume_s_floor_and_left_is_left_of_who_looks_at_the_stage()
    {
        // Beside the stage: it looks to the left, to -x.
        var places = WatchPlaces.Of(Rig("""{ "name": "box", "kind": "audience", "at": [20, 4, 5], "size": [4, 6, 4] }"""));
        Assert.True(Vector3.Distance(new(18, 4, 4.2f), places[0].Eye) < 1e-4f, $"{places[0]}");
        Assert.True(Vector3.Distance(new(18, 1, 4.2f), places[2].Eye) < 1e-4f, $"{places[2]}");
        Assert.True(Vector3.Distance(new(18, 7, 4.2f), places[3].Eye) < 1e-4f, $"{places[3]}");
    }

    [Fact]
    public void Named_seats_and_where_they_look_come_from_the_rig_file_for_crew_too()
    {
        var rig = Rig("""
            { "name": "desk", "kind": "crew", "at": [0, -20, 1], "size": [2, 2, 2], "seats": [[0, -20, 1.2]], "lookAt": [0, 0, 3] },
            { "name": "wings", "kind": "crew", "at": [9, 0, 1], "size": [2, 2, 2] },
            { "name": "stalls", "kind": "audience", "at": [0, -8, 1], "size": [2, 2, 2], "seats": [[1, -8, 1.2], [-1, -8, 1.2]] }
            """);
        var places = WatchPlaces.Of(rig);
        Assert.Equal(["stalls, seat 1", "stalls, seat 2", "desk"], places.Select(p => p.Name));
        Assert.Equal(new Vector3(0, 0, 3), places[2].LookAt);
        Assert.True(places[2].IsCrew);
        Assert.Equal(2, WatchPlaces.Missing(rig).Count());
        Assert.Contains(WatchPlaces.Missing(rig), m => m.What.Contains("wings", StringComparison.Ordinal));
    }
}
