namespace StageView.App.Tests.Live;

/// <summary>The real command on an interface that goes down and comes back, with an independent sender at the cable's other end.</summary>
[Collection(LiveMachine.Name)]
public sealed class InterfaceTests
{
    [Fact]
    public async Task A_cable_out_and_an_interface_down_are_said_and_listening_comes_back_by_itself()
    {
        using var spaces = NetworkSpaces.Make();
        using var copy = new RigCopy("one-mirror");
        await using var live = await LiveProcess.StartIn(spaces.Machine, copy.File, "--no-window", "--listen", NetworkSpaces.Here);
        using var desk = new Desk(5568, NetworkSpaces.Here, spaces.Console);
        desk.Set(1, (1, 255));
        await live.SaysWithin($"listening at 127.0.0.1, {NetworkSpaces.Here}");
        await live.SaysWithin("'independent desk' at 10.77.9.2 sends");

        spaces.Cable(false);
        await live.SaysWithin($"{NetworkSpaces.Here} is gone from this machine");
        await live.SaysWithin($"listening at 127.0.0.1; {NetworkSpaces.Here} is waited for");
        await live.SaysWithin("'independent desk' at 10.77.9.2 stopped sending");
        spaces.Cable(true);
        await live.SaysWithin($"listening at 127.0.0.1, {NetworkSpaces.Here}", times: 2);
        await live.SaysWithin("'independent desk' at 10.77.9.2 sends", times: 2);

        spaces.Interface(false);
        await live.SaysWithin($"{NetworkSpaces.Here} is gone from this machine", times: 2);
        await live.SaysWithin("'independent desk' at 10.77.9.2 stopped sending", times: 2);
        spaces.Interface(true);
        await live.SaysWithin("'independent desk' at 10.77.9.2 sends", times: 3);

        // The console itself is switched off and on again.
        desk.Dispose();
        await live.SaysWithin("'independent desk' at 10.77.9.2 stopped sending", times: 3);
        using var again = new Desk(5568, NetworkSpaces.Here, spaces.Console);
        again.Set(1, (1, 255));
        await live.SaysWithin("'independent desk' at 10.77.9.2 sends", times: 4);
        Assert.False(live.HasExited);
    }
}
