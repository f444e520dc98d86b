using System.Reflection;
using MassTransit;

namespace Pourwright.Faults.Simulation;

/// <summary>A message on the bus, of one kind with one consumer.</summary>
internal sealed record BusMessage(Guid Id, object Body);

/// <summary>A broker: keeps what it was handed until somebody takes it, in whatever order.</summary>
internal sealed class SimulatedBus
{
    public List<BusMessage> Waiting { get; } = [];

    /// <summary>Ids in the order in which they were first handed over.</summary>
    public List<Guid> HandedOver { get; } = [];

    /// <summary>The bus as one node sees it.</summary>
    public IBus Of(SimulatedNode node)
    {
        var bus = DispatchProxy.Create<IBus, BusProxy>();
        ((BusProxy)(object)bus).Act = (method, args) => method.Name == "Publish" && args is [object body, IPipe<PublishContext> addressing, CancellationToken]
            ? PublishAsync(node, body, addressing)
            : throw new NotSupportedException(method.ToString());
        return bus;
    }

    /// <summary>What a consumer is given.</summary>
    public static object Delivery(BusMessage message)
    {
        var context = DispatchProxy.Create(typeof(ConsumeContext<>).MakeGenericType(message.Body.GetType()), typeof(BusProxy));
        ((BusProxy)context).Act = (method, _) => method.Name switch
        {
            "get_MessageId" => message.Id,
            "get_Message" => message.Body,
            "get_CancellationToken" => CancellationToken.None,
            _ => throw new NotSupportedException(method.ToString()),
        };
        return context;
    }

    private async Task PublishAsync(SimulatedNode node, object body, IPipe<PublishContext> addressing)
    {
        var id = Guid.Empty;
        var context = DispatchProxy.Create<PublishContext, BusProxy>();
        ((BusProxy)(object)context).Act = (method, args) =>
        {
            if (method.Name == "set_MessageId") id = (Guid)args[0]!;
            return method.Name == "TryGetPayload" ? false : null;
        };
        await addressing.Send(context);
        if (node.World.Reach(node, Point.Publish))
        {
            if (node.World.IsRefusing) throw new TimeoutException("The broker is away.");
        }
        else Waiting.Add(new(id, body));
        if (!HandedOver.Contains(id)) HandedOver.Add(id);
        node.World.Reach(node, Point.Published);
    }
}

/// <summary>An interface of the bus library, of which little is used. The runtime derives from it.</summary>
public class BusProxy : DispatchProxy
{
    public Func<MethodInfo, object?[], object?> Act { get; set; } = null!;

    protected override object? Invoke(MethodInfo? targetMethod, object?[]? args) => Act(targetMethod!, args ?? []);
}
