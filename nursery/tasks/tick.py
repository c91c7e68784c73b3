"""The task that looks what is due."""

from celery import shared_task

from nursery.services import jobs, periods


@shared_task(name=jobs.TICK, ignore_result=True)
def tick() -> None:
    """Write the jobs of each period that has begun, and send what no live message names."""
    periods.write_due()
    jobs.clear_old()
    for number in jobs.take_unsent():
        jobs.send(number)
