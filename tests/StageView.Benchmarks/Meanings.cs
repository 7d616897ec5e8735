using System.IO.Enumeration;

namespace StageView.Benchmarks;

/// <summary>What each figure says, in a line; an asterisk in its name stands for anything. The first that fits counts.</summary>
public static class Meanings
{
    private static readonly (string Name, string Says)[] s_all =
    [
        ("wire.rate", "packets that the merge takes in memory, without sockets"),
        ("wire.index.make", "time to make the index of a one-hour capture of 40 universes"),
        ("wire.index.size", "size of that index"),
        ("wire.seek", "time to reach any time of that capture by its index"),
        ("wire.burst*.lost", "packets lost of all that were sent: so many universes in bursts, 44 times a second"),
        ("wire.burst*.kernel_drops", "of these, dropped by the kernel before they were read"),
        ("wire.burst*.cores", "processor time a second while that load is received and merged"),
        ("wire.burst*.allocated", "memory allocated for each packet meanwhile"),
        ("wire.cpu_vs_*", "processor time for each packet, beside another receiver under a load that it bears"),
        ("wire.lossfree", "highest rate without loss, or the most that the sender could give"),
        ("wire.lossfree.*", "the same of another receiver"),
        ("wire.*.lost", "packets that another receiver lost of the smaller load"),
        ("matt.first", "light between the demo's matt surfaces, from nothing, the code compiled on the way"),
        ("matt.cold", "the same with the code compiled before; beside what is allowed at rest"),
        ("matt.levels", "the same when only levels change; beside what is allowed"),
        ("matt.moved", "the same 40 ms later in the show, heads and moving pieces elsewhere"),
        ("matt.patches", "patches of the demo's surfaces, both sides of sheets"),
        ("matt.links", "pairs of patches that see each other"),
        ("refocus.1000x12", "all positions of 1,000 heads, 12 each, in another venue"),
        ("rig.check.2000fixtures", "reading and checking a rig of 2,000 fixtures on 200 universes"),
        ("rig.check.2000fixtures.process", "the whole command for it, start-up included"),
        ("rig.check.2000fixtures.process.wall", "the same by the clock"),
        ("rig.mvr.1000fixtures.roundtrip", "import, export and import of an MVR file of 1,000 fixtures"),
        ("rig.mvr.1000fixtures.roundtrip.moved", "how far the worst fixture moved by that"),
        ("cautions.cones.found", "beams of the demo's capture found to bring 500 lx into a volume, beside those that points find"),
        ("cautions.cones.beams", "beams looked at a moment"),
        ("cautions.cones", "every beam of the demo's capture against every volume: does 500 lx reach it, and where is it strongest"),
        ("cautions.check", "the whole question: beams, pixel surfaces, globes, all light together, lasers"),
        ("cautions.seat", "one seat's field, flashes and glare"),
        ("stage.moment.1000fixtures", "a moment of 1,000 fixtures that all move"),
        ("stage.moment.1000fixtures.allocated", "memory allocated for it"),
        ("stage.moment.1000fixtures.still", "the same when nothing moves"),
        ("stage.seek.1000fixtures", "going to a time of a long history"),
        ("light.grid.rate", "illuminance of a floor of 400 x 250 points under 120 beams, 9,960 triangles in the way"),
        ("light.grid.shadow_rays", "the shadow rays of that floor alone"),
        ("light.grid.vs_embree", "the same rays beside Embree with one call a ray"),
        ("light.grid.vs_embree_stream", "the same rays beside Embree's coherent stream"),
        ("light.grid.simd_*", "the same rays with narrower vectors, or with none"),
        ("output.png.720p", "packing a 1280x720 picture as PNG"),
        ("output.png.bytes", "size of that file"),
        ("output.exr.720p", "packing 1280x720 of light as EXR"),
        ("output.linear_png.720p", "packing it as 16-bit linear PNG"),
        ("output.develop.720p", "exposing it to a picture on the processor"),
        ("render.720p.*beams", "a frame of so many beams in haze, 1280x720"),
        ("render.720p.*beams.mirrors", "the same with shadows, two mirror walls and set pieces"),
        ("render.first_png", "from the start of the command to the demo's first picture, 640x360"),
        ("render.haze.error_p50", "median error of the haze against the reference"),
        ("render.haze.error_p95", "95th percentile of that error"),
        ("render.haze.equal_error", "the frame beside a march in even steps of the same median error"),
        ("render.floor.error_max", "largest error of the floor's luminance where no edge falls"),
        ("render.gpu.tiles_apart*", "share of the picture where tiles and fragments differ by more than .2 %"),
        ("render.gpu.*.moving", "the same with every beam moving, all shadows drawn anew"),
        ("render.gpu.*.fine", "the same at fine detail"),
        ("render.gpu.*.draft", "the same at draft detail"),
        ("render.gpu.*", "graphics time of a frame by the driver's timers: beams with shadows, mirror walls, 100,000 pixels, read-back left out"),
        ("frame.tiles_apart*", "share of the demo's picture where tiles and fragments differ by more than .2 %"),
        ("frame.window*", "drawing the demo as live's window has it, 1280x720"),
        ("frame.page*", "drawing the demo as a page has it, 640x360"),
        ("snapshot.set_1000.seconds", "comparing 1,000 pairs of 1920x1080, a hundred of them changed"),
        ("snapshot.set_1000.memory", "largest working set meanwhile"),
        ("snapshot.set_1000.held", "memory held after it"),
        ("snapshot.*.drawn.vs_odiff", "a pair compared and its difference drawn"),
        ("snapshot.*.processor.vs_odiff", "processor time of comparing such a pair"),
        ("snapshot.identical*", "a pair of 1920x1080 PNG files with the same pixels, packed otherwise"),
        ("snapshot.changed.shift*", "a pair with all beams moved by a pixel"),
        ("snapshot.changed.noise*", "a pair with noise all over"),
        ("snapshot.changed*", "a pair with a changed box"),
        ("live.fps.alone*", "frames drawn a second without a page"),
        ("live.fps.served*", "frames drawn a second while a page is served"),
        ("live.cost*", "processor time of a served frame"),
        ("live.latency.page*", "from a packet sent to the changed picture at a page"),
        ("live.latency.window*", "from a packet sent to the changed picture that stands ready for the window"),
    ];

    /// <summary>What a figure says, or null where that isn't written yet; <c>.show</c> at its end is the demo's mirror moment.</summary>
    public static string? Of(string figure)
    {
        var says = s_all.FirstOrDefault(m => FileSystemName.MatchesSimpleExpression(m.Name, figure, ignoreCase: false)).Says;
        return says is not null && figure.EndsWith(".show", StringComparison.Ordinal) ? says + ", in the mirror moment" : says;
    }
}
